// Keeps the pages that were read, so that they open without a connection. The site is asked
// first; what is kept is the answer only when it cannot be reached. The explorer and the track
// page keep themselves: nothing below their folders is touched here.
"use strict";

const cacheName = "soletrial pages " + self.registration.scope;
const mostPages = 60; // the oldest goes for the next
const scope = new URL("./", self.location);
const below = (paths) => paths.map((path) => new URL(path, scope).href);
const shared = below(["style.css", "pages.css", "print.css", "icon.svg", "reader.js"]);
const apart = below(["explorer/", "track/", "data/"]);

// The address under which a request is kept, or "" when it is none of ours.
function keptAs(request) {
  const address = new URL(request.url);
  address.search = "";
  address.hash = "";
  if (shared.includes(address.href)) return address.href;
  if (!address.href.startsWith(scope.href) || apart.some((folder) => address.href.startsWith(folder))) return "";
  if (address.pathname.endsWith("/")) address.pathname += "index.html";
  return address.pathname.endsWith(".html") ? address.href : "";
}

async function keep(address, answer) {
  if (!answer.ok || answer.redirected) return;
  const cache = await caches.open(cacheName);
  await cache.delete(address); // so that it stands last
  await cache.put(address, answer);
  const pages = (await cache.keys()).filter((kept) => !shared.includes(kept.url));
  await Promise.all(pages.slice(0, Math.max(0, pages.length - mostPages)).map((kept) => cache.delete(kept)));
}

// The page that brought this script here was loaded before it could keep it.
self.addEventListener("install", (event) => {
  const first = async () => {
    const pages = await self.clients.matchAll({ includeUncontrolled: true, type: "window" });
    const read = pages.map((page) => keptAs(page)).filter((address) => address !== "");
    for (const address of [...shared, ...read]) await keep(address, await fetch(address, { cache: "force-cache" }));
    await self.skipWaiting();
  };
  event.waitUntil(first());
});

self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

async function siteFirst(request, address) {
  try {
    const answer = await fetch(request);
    keep(address, answer.clone()).catch(() => {}); // a full disk costs only the next visit offline
    return answer;
  } catch (error) {
    const kept = await caches.match(address, { cacheName });
    if (kept) return kept;
    throw error;
  }
}

self.addEventListener("fetch", (event) => {
  const address = event.request.method === "GET" ? keptAs(event.request) : "";
  if (address !== "") event.respondWith(siteFirst(event.request, address));
});
