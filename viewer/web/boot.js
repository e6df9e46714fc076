// Starts the explorer: has the program fetched and compiled, runs it, and registers
// the service worker that keeps the page for use without a connection. Problems are
// shown in the page's status line, and after ten seconds without a start it says so.
//
// It runs a second time as a web worker, which decompresses and compiles the program: the
// page has its hands free meanwhile, and the file is there already.
"use strict";

const explorer = {
  get status() {
    return document.getElementById("explorer-status");
  },
  get app() {
    return document.getElementById("explorer-app");
  },
  instead: " The answer, the sessions and every table are on the other pages of this site and work without it.",

  // The status line is taken as it stands in the page: a stopped program leaves it alone.
  say(text, state) {
    this.status.textContent = text;
    if (state) this.status.dataset.state = state;
  },

  started() {
    return this.status.dataset.state === "running";
  },

  // What this browser lacks, in words; "" when it can run the program.
  missingFeature() {
    if (typeof WebAssembly !== "object") return "WebAssembly";
    if (typeof DecompressionStream !== "function") return "DecompressionStream";
    return "";
  },

  // The program, compiled by the worker.
  program() {
    return new Promise((resolve, reject) => {
      const worker = new Worker("boot.js");
      worker.onmessage = (event) => {
        worker.terminate();
        if (event.data.module) resolve(event.data.module);
        else reject(new Error(event.data.problem));
      };
      worker.onerror = () => reject(new Error("boot.js could not be run beside the page"));
    });
  },

  async start() {
    const missing = this.missingFeature();
    if (missing !== "") {
      this.say("This browser has no " + missing + ", so the analysis cannot be run again here." + this.instead +
        " A current browser runs the explorer.", "stopped");
      return;
    }
    this.say("Loading the analysis program…");
    setTimeout(() => this.waited(), 10000);
    let go, instance;
    try {
      if (typeof Go !== "function") throw new Error("wasm_exec.js is missing or damaged");
      go = new Go();
      instance = await WebAssembly.instantiate(await this.program(), go.importObject);
    } catch (error) {
      this.say("The analysis program could not be loaded (" + error.message + "). Check the connection and " +
        "reload the page." + this.instead, "stopped");
      return;
    }
    this.registerWorker();
    // A program that stops, for whatever reason, leaves controls that do nothing: they are
    // disabled and the message stays. The state is in the address.
    try {
      await go.run(instance);
    } finally {
      this.stop();
    }
  },

  stop() {
    this.say("The analysis program has stopped. Reload the page to start it again: what you chose is in its address." +
      this.instead, "stopped");
    this.app.inert = true;
  },

  waited() {
    if (this.started() || this.status.dataset.state === "stopped") return;
    this.status.insertAdjacentText("beforeend", " The explorer has not started after 10 seconds. Check the connection " +
      "and reload the page." + this.instead);
  },

  // Without a service worker the explorer works all the same, but not offline.
  registerWorker() {
    if ("serviceWorker" in navigator) {
      navigator.serviceWorker.register("sw.js").catch(() => {});
    }
  },
};

// The program is compiled while it comes. It is published as gzip; where the host says so in a
// header, the browser has decompressed it already, so the first bytes decide.
async function compileProgram() {
  const response = await fetch("soletrial.wasm.gz");
  if (!response.ok) throw new Error("the site answers " + response.status);
  const reader = response.body.getReader();
  const first = (await reader.read()).value ?? new Uint8Array();
  const whole = new ReadableStream({
    start: (controller) => controller.enqueue(first),
    async pull(controller) {
      const { done, value } = await reader.read();
      if (done) controller.close();
      else controller.enqueue(value);
    },
    cancel: (reason) => reader.cancel(reason),
  });
  const packed = first[0] === 0x1f && first[1] === 0x8b;
  const plain = packed ? whole.pipeThrough(new DecompressionStream("gzip")) : whole;
  return WebAssembly.compileStreaming(new Response(plain, { headers: { "Content-Type": "application/wasm" } }));
}

if (typeof document === "undefined") {
  compileProgram().then((module) => self.postMessage({ module }),
    (error) => self.postMessage({ problem: error.message }));
} else {
  explorer.start();
}
