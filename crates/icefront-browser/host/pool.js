// Two workers: what is asked for while one computes goes to the other, and one that computes for nobody is ended and
// replaced. So the page itself never computes, and nothing waits for an answer that is no longer wanted.

const WORKERS = 2;

/** `start` makes a worker; `module` is the promise of the compiled module, `bytes` that of its bytes. */
function makePool(start, module, bytes) {
  const free = [];
  const waiting = [];
  let numbers = 0;

  function add() {
    const worker = start();
    const one = { worker, seen: 0, calls: new Map(), ready: undefined };
    worker.onmessage = ({ data }) => one.calls.get(data.id)?.(data);
    worker.onerror = (event) => one.calls.forEach((settle) => settle({ error: event.message || "it broke off" }));
    // some browsers do not hand what is compiled to the worker of a file from the disk
    one.ready = module.then((compiled) => post(one, { module: compiled })).catch(async () => post(one, { module: await bytes() }));
    give(one);
  }

  function give(one) {
    const next = waiting.shift();
    next ? next(one) : free.push(one);
  }

  function post(one, message) {
    return new Promise((resolve, reject) => {
      numbers += 1;
      const id = numbers;
      one.calls.set(id, (data) => {
        one.calls.delete(id);
        data.error ? reject(new Error(data.error)) : resolve(data);
      });
      one.worker.postMessage({ ...message, id });
    });
  }

  function replace(one) {
    one.worker.terminate();
    add();
  }

  for (let count = 0; count < WORKERS; count += 1) {
    add();
  }

  /**
   * Does `work(call, one)` with a worker: `call(head, files)` gives an answer and its time, `one.seen` is the revision of the
   * files that the worker has; undefined where it has others. Where it has, or `signal` or a fault breaks it off, the worker is
   * replaced.
   */
  return async function withWorker(signal, work) {
    signal?.throwIfAborted();
    const one = free.shift() ?? (await new Promise((resolve) => waiting.push(resolve)));
    let stop;
    const stopped = new Promise((resolve, reject) => {
      stop = () => reject(signal.reason);
      signal?.addEventListener("abort", stop);
    });
    try {
      signal?.throwIfAborted();
      const call = (head, files) => Promise.race([one.ready.then(() => post(one, { head, files })), stopped]);
      const done = await work(call, one);
      one.seen === undefined ? replace(one) : give(one);
      return done;
    } catch (error) {
      replace(one);
      throw error;
    } finally {
      signal?.removeEventListener("abort", stop);
    }
  };
}
