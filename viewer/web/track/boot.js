// Starts the track page: fetches the program, unpacks it, runs it, and lets a service
// worker keep the page for use without a network. What goes wrong is said on the page.
"use strict";

const track = {
  say(text) {
    document.getElementById("track-start").textContent = text;
  },
  // What this browser lacks, in words; "" when it can run the program.
  lacks() {
    if (typeof WebAssembly !== "object") return "WebAssembly";
    if (typeof DecompressionStream !== "function") return "DecompressionStream";
    return "";
  },
  // The program's bytes. They are published packed by gzip; a host that says so
  // in a header makes the browser unpack them first, so the first bytes decide.
  async program() {
    const response = await fetch("track.wasm.gz");
    if (!response.ok) throw new Error("the site answers " + response.status);
    const body = await response.arrayBuffer();
    const first = new Uint8Array(body, 0, Math.min(2, body.byteLength));
    if (first[0] !== 0x1f || first[1] !== 0x8b) return body;
    const plain = new Blob([body]).stream().pipeThrough(new DecompressionStream("gzip"));
    return new Response(plain).arrayBuffer();
  },
  async start() {
    const lacking = this.lacks();
    if (lacking !== "") {
      this.say("This browser has no " + lacking + ". Use a current browser, or the printed sheet and a watch.");
      return;
    }
    const slow = setTimeout(() => this.say("Still loading. If nothing comes, check the network and reload the page; without it, use the printed sheet."), 10000);
    const go = new Go();
    let instance;
    try {
      ({ instance } = await WebAssembly.instantiate(await this.program(), go.importObject));
    } catch (error) {
      clearTimeout(slow);
      this.say("The page could not be loaded (" + error.message + "). Check the network and reload; without it, use the printed sheet and a watch.");
      return;
    }
    clearTimeout(slow);
    this.keep();
    await go.run(instance);
    const stopped = document.createElement("p");
    stopped.setAttribute("role", "alert");
    stopped.textContent = "The page has stopped. Reload it: everything that was tapped is kept.";
    document.getElementById("track-app").replaceChildren(stopped);
  },
  // Without a service worker the page works while it is open, but not offline.
  keep() {
    if ("serviceWorker" in navigator) {
      navigator.serviceWorker.register("sw.js").catch(() => {});
    }
  },
};

track.start();
