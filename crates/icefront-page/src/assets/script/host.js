// All that the page says to its host: a path, and a form where one is sent; a status and a text come back. A host that is
// no server stands in `globalThis.icefrontHost` before this script runs.

/** `body` is a form as text, `signal` may break it off; a host that cannot be reached rejects. */
async function ask(path, body, signal) {
  if (globalThis.icefrontHost) {
    return globalThis.icefrontHost(path, body, signal);
  }
  const headers = { "Content-Type": "application/x-www-form-urlencoded" };
  const response = await fetch(path, body === undefined ? { signal } : { method: "POST", headers, body, signal });
  return { status: response.status, text: await response.text() };
}
