// Keeps the explorer's page and program, so that it opens without a connection.
// The site is asked first; what is kept is the answer only when it cannot be
// reached. The data are not kept here but in IndexedDB, by content.
"use strict";

const family = "soletrial " + self.registration.scope + " ";
const cacheName = family + "@VERSION@";
// The page's own address, and the one that names its file: no other page is kept as it.
const page = new URL("./", self.location).href;
const pageFile = new URL("index.html", self.location).href;
const below = (paths) => paths.map((path) => new URL(path, self.location).href);
const shell = [
  page,
  ...below(["../style.css", "../pages.css", "../icon.svg", "explorer.css", "boot.js", "wasm_exec.js", "soletrial.wasm.gz"]),
];
// What only some readers need is kept from when it was first fetched.
const later = below(["convert.js", "convert.wasm.gz"]);

// Whether a cache of this explorer, of whatever version, has an address.
async function inAnyCache(address) {
  const names = (await caches.keys()).filter((name) => name.startsWith(family));
  const found = await Promise.all(names.map(async (name) => (await caches.open(name)).match(address)));
  return found.some(Boolean);
}

// At first the page has just fetched these files, and the browser's own cache has
// them. At an update that cache may still hold the older ones, so the site is asked.
self.addEventListener("install", (event) => {
  const fill = async () => {
    const wanted = [...shell];
    for (const address of later) if (await inAnyCache(address)) wanted.push(address);
    const mode = self.registration.active ? "no-cache" : "force-cache";
    const cache = await caches.open(cacheName);
    await cache.addAll(wanted.map((address) => new Request(address, { cache: mode })));
    await self.skipWaiting();
  };
  event.waitUntil(fill());
});

self.addEventListener("activate", (event) => {
  const removeOlder = async () => {
    const names = await caches.keys();
    const older = names.filter((name) => name.startsWith(family) && name !== cacheName);
    await Promise.all(older.map((name) => caches.delete(name)));
    await self.clients.claim();
  };
  event.waitUntil(removeOlder());
});

// The address under which a request is cached, or "" when it is none of ours.
function cacheKey(request) {
  const address = new URL(request.url);
  address.search = "";
  address.hash = "";
  if (address.href === pageFile) return page;
  return [...shell, ...later].includes(address.href) ? address.href : "";
}

async function siteFirst(request, address) {
  const cache = await caches.open(cacheName);
  try {
    const answer = await fetch(request);
    if (answer.ok && !answer.redirected) {
      cache.put(address, answer.clone()).catch(() => {}); // a full disk costs only the next visit offline
    }
    return answer;
  } catch (error) {
    const kept = await cache.match(address);
    if (kept) return kept;
    throw error;
  }
}

self.addEventListener("fetch", (event) => {
  const address = event.request.method === "GET" ? cacheKey(event.request) : "";
  if (address !== "") event.respondWith(siteFirst(event.request, address));
});
