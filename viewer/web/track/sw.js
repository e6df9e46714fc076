// Keeps the track page, so that it opens without a network. Its program comes from
// what is kept, at once: a network at a track may be there and yet bring nothing. The
// page and the plans, which change with the dataset, are asked for first, but not for
// long. What was tapped is not kept here but in IndexedDB.
"use strict";

const family = "soletrial " + self.registration.scope + " ";
const cacheName = family + "@VERSION@";
const patience = 2500; // milliseconds
const page = new URL("./", self.location).href;
const below = (paths) => paths.map((path) => new URL(path, self.location).href);
const program = below(["track.css", "boot.js", "wasm_exec.js", "track.wasm.gz", "../icon.svg"]);
const plans = below(["plans.json"]);
const shell = [page, ...plans, ...program];

// At first the page has just fetched these files, and the browser's own cache has
// them. At an update that cache may still hold the older ones, so the site is asked.
self.addEventListener("install", (event) => {
  const keep = async () => {
    const mode = self.registration.active ? "no-cache" : "force-cache";
    const cache = await caches.open(cacheName);
    await cache.addAll(shell.map((address) => new Request(address, { cache: mode })));
    await self.skipWaiting();
  };
  event.waitUntil(keep());
});

self.addEventListener("activate", (event) => {
  const tidy = async () => {
    const names = await caches.keys();
    await Promise.all(names.filter((name) => name.startsWith(family) && name !== cacheName).map((name) => caches.delete(name)));
    await self.clients.claim();
  };
  event.waitUntil(tidy());
});

// The address under which a request is kept, or "" when it is none of ours.
function keptAs(request) {
  const address = new URL(request.url);
  address.search = "";
  address.hash = "";
  if (request.mode === "navigate") return page;
  return shell.includes(address.href) ? address.href : "";
}

async function keptFirst(request, address) {
  const cache = await caches.open(cacheName);
  return (await cache.match(address)) || fetch(request);
}

async function siteFirst(request, address) {
  const cache = await caches.open(cacheName);
  const asked = fetch(request).then(async (answer) => {
    if (answer.ok && !answer.redirected) await cache.put(address, answer.clone());
    return answer;
  });
  const kept = await cache.match(address);
  if (!kept) return asked;
  const late = new Promise((resolve) => setTimeout(() => resolve(kept), patience));
  return Promise.race([asked.catch(() => kept), late]);
}

self.addEventListener("fetch", (event) => {
  const address = event.request.method === "GET" ? keptAs(event.request) : "";
  if (address === "") return;
  const answer = program.includes(address) ? keptFirst : siteFirst;
  event.respondWith(answer(event.request, address));
});
