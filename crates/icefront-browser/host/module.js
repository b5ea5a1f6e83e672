// The byte interface of the module: a message is the length of its head (4 bytes, little-endian), the head as JSON, then
// the bytes of the files that the head lists.

/** Calls an instance of the module; `files` are `{name, bytes}`, without bytes where a file is gone. */
function callModule(instance, head, files) {
  const { memory, icefront_alloc: alloc, icefront_call: call, icefront_free: free } = instance.exports;
  const listed = files.map(({ name, bytes }) => (bytes ? { name, bytes: bytes.length } : { name }));
  const json = new TextEncoder().encode(JSON.stringify({ ...head, files: listed }));
  const contents = files.filter(({ bytes }) => bytes);
  const length = contents.reduce((sum, { bytes }) => sum + bytes.length, 4 + json.length);
  const address = alloc(length);
  const message = new Uint8Array(memory.buffer, address, length);
  new DataView(memory.buffer).setUint32(address, json.length, true);
  message.set(json, 4);
  let at = 4 + json.length;
  for (const { bytes } of contents) {
    message.set(bytes, at);
    at += bytes.length;
  }
  const packed = BigInt.asUintN(64, call(address, length));
  const [start, size] = [Number(packed >> 32n), Number(packed & 0xffffffffn)];
  // a copy: the memory is given back
  const answer = new Uint8Array(memory.buffer, start, size).slice();
  free(start, size);
  return readAnswer(answer);
}

function readAnswer(bytes) {
  const end = 4 + new DataView(bytes.buffer).getUint32(0, true);
  const head = JSON.parse(new TextDecoder().decode(bytes.subarray(4, end)));
  let at = end;
  const files = head.files.map(({ name, bytes: size }) => {
    const file = size === null ? { name } : { name, bytes: bytes.slice(at, at + size) };
    at += size ?? 0;
    return file;
  });
  return { ...head, files };
}
