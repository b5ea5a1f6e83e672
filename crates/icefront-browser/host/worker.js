// Computes for the page, one request after the other. It keeps nothing but the files that it was sent; the page ends it
// where nobody waits for the answer any more.
"use strict";

let instance;

onmessage = async ({ data: { id, module, head, files } }) => {
  try {
    if (module) {
      // bytes or what was compiled of them
      const made = await WebAssembly.instantiate(module, {});
      instance = made.instance ?? made;
    }
    const began = performance.now();
    const answer = head && callModule(instance, head, files);
    postMessage({ id, answer, ms: performance.now() - began });
  } catch (error) {
    postMessage({ id, error: String(error) });
  }
};
