// Reads one recording in another form than the explorer's: a web worker that is given
// the names and bytes of its files and returns what the explorer can read. Nothing is sent
// anywhere: it fetches its own program and no more.
"use strict";

importScripts("wasm_exec.js");

// The program's bytes, decompressed unless the browser has done it already.
async function program() {
  const response = await fetch("convert.wasm.gz");
  if (!response.ok) throw new Error("the site answers " + response.status);
  const body = await response.arrayBuffer();
  const first = new Uint8Array(body, 0, Math.min(2, body.byteLength));
  if (first[0] !== 0x1f || first[1] !== 0x8b) return body;
  return new Response(new Blob([body]).stream().pipeThrough(new DecompressionStream("gzip"))).arrayBuffer();
}

self.addEventListener("message", async (event) => {
  const go = new Go();
  let instance;
  try {
    ({ instance } = await WebAssembly.instantiate(await program(), go.importObject));
  } catch (error) {
    self.postMessage({ unreachable: error.message });
    return;
  }
  self.postMessage({ reading: true });
  self.input = event.data;
  await go.run(instance);
  const outOfMemory = ": reading it took more memory than there is (cut it into single runs first)";
  self.postMessage(self.result ?? { problem: event.data.files[0].name + outOfMemory });
});
