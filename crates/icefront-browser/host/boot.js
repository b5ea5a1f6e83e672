// Starts the host: from the files of a folder, or from one file that has all of them inside.

/** The text of a block of the one file; `undefined` in a folder. */
const inside = (id) => document.getElementById(id)?.textContent;

let loaded;
/** The bytes of the module. */
function bytes() {
  const packed = inside("module");
  loaded ??= packed === undefined ? fetched() : unpacked(packed);
  return loaded;
}

async function fetched() {
  const response = await fetch("icefront.wasm");
  if (!response.ok) {
    throw new Error(`icefront.wasm: ${response.status}`);
  }
  return response.arrayBuffer();
}

async function unpacked(base64) {
  const packed = Uint8Array.from(atob(base64.trim()), (letter) => letter.charCodeAt(0));
  return new Response(new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"))).arrayBuffer();
}

function compiled() {
  if (inside("module") === undefined && WebAssembly.compileStreaming) {
    // a server that does not know the type of the file: compiled from its bytes
    return WebAssembly.compileStreaming(fetch("icefront.wasm")).catch(async () => WebAssembly.compile(await bytes()));
  }
  return bytes().then((module) => WebAssembly.compile(module));
}

function workers() {
  const source = inside("worker");
  const url = source === undefined ? "worker.js" : URL.createObjectURL(new Blob([source], { type: "text/javascript" }));
  return () => new Worker(url);
}

try {
  const module = compiled();
  module.catch((error) => cannot(error));
  const folder = openFolder().catch(folderUntilClosed);
  globalThis.icefrontHost = makeHost(folder, listenForFiles(folder), workers(), module, bytes);
} catch (error) {
  cannot(error);
}

function cannot(error) {
  const place = document.getElementById("loading");
  if (place) {
    place.textContent = `icefront cannot start in this browser (${error.message}). A current version of any browser will do.`;
  }
}

if (location.protocol.startsWith("http") && inside("module") === undefined) {
  navigator.serviceWorker?.register("service.js").catch(() => {});
}
