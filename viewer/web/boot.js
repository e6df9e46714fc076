// Starts the explorer: fetches the program, decompresses it, runs it, and registers
// the service worker that keeps the page for use without a connection. Problems are
// shown in the page's status line.
"use strict";

const explorer = {
  setStatus(text) {
    document.getElementById("explorer-status").textContent = text;
  },

  // What this browser lacks, in words; "" when it can run the program.
  missingFeature() {
    if (typeof WebAssembly !== "object") return "WebAssembly";
    if (typeof DecompressionStream !== "function") return "DecompressionStream";
    return "";
  },

  // The program's bytes. They are published as gzip; where the host says so in a
  // header, the browser has decompressed them already, so the first bytes decide.
  async program() {
    const response = await fetch("soletrial.wasm.gz");
    if (!response.ok) throw new Error("the site answers " + response.status);
    const body = await response.arrayBuffer();
    const first = new Uint8Array(body, 0, Math.min(2, body.byteLength));
    if (first[0] !== 0x1f || first[1] !== 0x8b) return body;
    const plain = new Blob([body]).stream().pipeThrough(new DecompressionStream("gzip"));
    return new Response(plain).arrayBuffer();
  },

  async start() {
    const missing = this.missingFeature();
    if (missing !== "") {
      this.setStatus("This browser has no " + missing + ", so the analysis cannot be run again here. The pages of " +
        "this site hold the published answer and work without it; a current browser runs the explorer.");
      return;
    }
    this.setStatus("Loading the analysis program…");
    const go = new Go();
    let instance;
    try {
      ({ instance } = await WebAssembly.instantiate(await this.program(), go.importObject));
    } catch (error) {
      this.setStatus("The analysis program could not be loaded (" + error.message + "). Check the connection and " +
        "reload the page; the other pages of this site work without it.");
      return;
    }
    this.registerWorker();
    await go.run(instance);
    this.setStatus("The analysis program has stopped. Reload the page to start it again.");
  },

  // Without a service worker the explorer works all the same, but not offline.
  registerWorker() {
    if ("serviceWorker" in navigator) {
      navigator.serviceWorker.register("sw.js").catch(() => {});
    }
  },
};

explorer.start();
