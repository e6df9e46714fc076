package plan

import (
	"fmt"
	"html"
	"strings"

	"rsc.io/qr"

	"soletrial/pipeline/trial"
)

// quietZone is how many modules around a QR code must be light (ISO/IEC 18004).
const quietZone = 4

// trackAddress is where the track page opens with the plan of a session, "" where the
// dataset does not say where its site stands.
func trackAddress(ds *trial.Dataset, session string) string {
	if ds.Facts.SiteURL == "" {
		return ""
	}
	return ds.Facts.SiteURL + "track/#" + session
}

// trackCode returns the address as a QR code and as text, "" for no address or one
// that is too long for a code.
func trackCode(address string) string {
	if address == "" {
		return ""
	}
	// Encode.
	code, err := qr.Encode(address, qr.M)
	if err != nil {
		return ""
	}
	// The address as a link, then the code as one path: a run of dark modules is a
	// rectangle.
	size := code.Size + 2*quietZone
	var b strings.Builder
	fmt.Fprintf(&b, "<figure class=\"code\"><figcaption>On the phone: <a href=\"%[1]s\">%[1]s</a>. "+
		"Open it once before you leave: it then works without a network.</figcaption>", html.EscapeString(address))
	fmt.Fprintf(&b, "<svg viewBox=\"0 0 %d %d\" role=\"img\" aria-label=\"QR code of %s\" "+
		"shape-rendering=\"crispEdges\"><path fill=\"#fff\" d=\"M0 0h%dv%dH0z\"/><path d=\"", size, size,
		html.EscapeString(address), size, size)
	for y := range code.Size {
		for x := 0; x < code.Size; x++ {
			from := x
			for x < code.Size && code.Black(x, y) {
				x++
			}
			if x > from {
				fmt.Fprintf(&b, "M%d %dh%dv1h-%dz", from+quietZone, y+quietZone, x-from, x-from)
			}
		}
	}
	b.WriteString("\"/></svg></figure>\n")
	return b.String()
}
