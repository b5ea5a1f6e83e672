// Keeps all files of this folder in the browser, so that the page opens without a network. A new version of any of them
// is fetched as a whole and takes over when no tab shows the old one any more. VERSION and FILES are set where it is built.
"use strict";

const CACHE = "icefront-" + VERSION;

addEventListener("install", (event) => {
  const all = FILES.map((file) => new Request(file, { cache: "reload" }));
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(all)));
});

addEventListener("activate", (event) => {
  const old = (name) => name.startsWith("icefront-") && name !== CACHE;
  const clear = async () => {
    await Promise.all((await caches.keys()).filter(old).map((name) => caches.delete(name)));
    await clients.claim();
  };
  event.waitUntil(clear());
});

addEventListener("fetch", (event) => {
  if (event.request.method === "GET") {
    const here = caches.open(CACHE).then((cache) => cache.match(event.request, { ignoreSearch: true }));
    event.respondWith(here.then((kept) => kept ?? fetch(event.request)));
  }
});
