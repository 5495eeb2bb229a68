// The service worker: the built pages are kept on the device, whole or not at all, and answer with or without a network.
// Data is none of its business: that lies in the database on the device.
const version = '__VERSION__';
const files = ['__FILES__'];
const cacheName = `lintel-tablet-${version}`;

self.addEventListener('install', (event) => {
  // From the server, past the browser's own cache: a shell of two versions would be none.
  event.waitUntil(caches.open(cacheName).then((cache) => cache.addAll(files.map((file) => new Request(file, { cache: 'reload' })))));
});

self.addEventListener('activate', (event) => {
  event.waitUntil((async () => {
    const old = (await caches.keys()).filter((name) => name.startsWith('lintel-tablet-') && name !== cacheName);
    await Promise.all(old.map((name) => caches.delete(name)));
    await self.clients.claim();
  })());
});

// A new version waits until somebody asks for it: it must not take the pages away from under a job.
self.addEventListener('message', (event) => {
  if (event.data === 'take-over') void self.skipWaiting();
});

self.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== self.location.origin || !url.pathname.startsWith('/tablet')) return;
  event.respondWith(answer(request));
});

async function answer(request) {
  const cache = await caches.open(cacheName);
  const kept = await cache.match(request.mode === 'navigate' ? new URL('./', self.location.href).href : request, { ignoreSearch: true });
  return kept ?? fetch(request);
}
