package cli

import (
	"fmt"
	"strings"
)

// small is an invented dataset: sessions of two shoes in four blocks, with one
// recording at a sample every ten seconds.
func small(sessions int) map[string]string {
	files := map[string]string{
		"dataset.yaml": "title: small\ninvented: true\nmethod:\n  reference: a\n",
		"runners.csv":  "id,label,mass_kg\nr,Runner (invented),67\n",
		"shoes.csv":    "id,label,mass_g\na,Alder (invented),240\nb,Birch (invented),225\n",
		"venues.csv":   "id,label,kind\nv,Loop (invented),road\n",
	}
	for i := range sessions {
		addSession(files, i, 0)
	}
	return files
}

func sessionFolder(i int) string { return fmt.Sprintf("sessions/2026-03-%02d/", i+1) }

// addSession puts session i into the files; its numbers follow from i and version.
func addSession(files map[string]string, i, version int) {
	folder := sessionFolder(i)
	files[folder+"session.yaml"] = fmt.Sprintf("date: 2026-03-%02d\nvenue: v\neffort: power\ntarget: 250\nrecordings: [{file: pod.csv, device: pod}]\n", i+1)
	files[folder+"blocks.csv"] = "block,shoe,start_s,end_s\n1,a,0,300\n2,b,400,700\n3,b,800,1100\n4,a,1200,1500\n"
	var pod strings.Builder
	pod.WriteString("elapsed_s,power_w,speed_mps,cadence_spm\n")
	for k := range 151 {
		fmt.Fprintf(&pod, "%d,%d,%d.%03d,%d\n", 10*k, 247+(k*7+i)%7, 3+(k/40)%2, (k*37+i*11+version*5)%90+700-600*((k/40)%2), 176+(k*3+i)%5)
	}
	files[folder+"pod.csv"] = pod.String()
}
