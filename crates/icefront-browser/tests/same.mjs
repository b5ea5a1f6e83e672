// Both hosts show the same: sheets of the ledger are sent to `icefront page` and to the module, and the texts compared.
// node tests/same.mjs MODULE.wasm ICEFRONT [SHEETS [SAMPLES]]
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { request } from "node:http";
import { cp, mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { callModule } from "../module.mjs";

const [module, icefront, count = "12", samples = "16"] = process.argv.slice(2);
const ledger = join(import.meta.dirname, "../../../tests/ledger");
const NEAR = 1e-9;
const NOTHING = 1e-12; // what is left of sums that close
// The last bits of exponentials differ between the two hosts. Where the model decides by such a bit whether a step of time
// is taken once or in two parts, what is read off at the end of a step moves: by up to 0.3 K for the warmest ice front.
const STEP = 0.25;
const MOST_STEPS = 0.03; // share of the numbers
const NUMBER = /-?\d+(?:\.\d+)?(?:e[-+]?\d+)?/g;
const QUESTIONS = ["explain", "pack", "labels", "bill", "prefreeze"];

/** A sheet of the ledger, which is JSON, as TOML. */
function toml({ id, ...sheet }) {
  const isTable = (value) => value && typeof value === "object" && !Array.isArray(value);
  const isTables = (value) => Array.isArray(value) && value.length > 0 && value.every(isTable);
  const pairs = (table, end) => Object.entries(table).map(([key, value]) => `${JSON.stringify(key)} = ${plain(value)}${end}`);
  const plain = (value) => {
    if (Array.isArray(value)) {
      return `[${value.map(plain).join(", ")}]`;
    }
    return isTable(value) ? `{ ${pairs(value, "").join(", ")} }` : JSON.stringify(value);
  };
  const [own, tables] = [{}, []];
  for (const [key, value] of Object.entries(sheet)) {
    if (isTable(value)) {
      tables.push(`[${JSON.stringify(key)}]\n`, ...pairs(value, "\n"));
    } else if (isTables(value)) {
      value.forEach((one) => tables.push(`[[${JSON.stringify(key)}]]\n`, ...pairs(one, "\n")));
    } else {
      own[key] = value;
    }
  }
  return [...pairs(own, "\n"), ...tables].join("");
}

const words = (text) => text.replaceAll(NUMBER, "#");
const numbers = (text) => [...text.matchAll(NUMBER)].map(([number]) => number);

/** The first place where words differ, in both. */
function place(one, other) {
  const [a, b] = [one, other].map(words);
  let at = 0;
  while (at < a.length && a[at] === b[at]) {
    at += 1;
  }
  return [a, b].map((text) => text.slice(Math.max(0, at - 80), at + 80));
}

/** How far two numbers are from each other, as a share of them; nothing where they only round another way. */
function apart([a, b]) {
  const step = (number) => 10 ** (Number(number.split("e")[1] ?? 0) - (number.split("e")[0].split(".")[1]?.length ?? 0));
  const [by, largest] = [Math.abs(a - b), Math.max(Math.abs(a), Math.abs(b))];
  const rounds = largest < NOTHING || (by <= (1 + 1e-6) * step(a) + NEAR * largest && step(a) < 1);
  return rounds ? 0 : by / largest;
}

/** Sends a form to a server, over a connection of its own: one that waits for long is closed there. */
function sent(address, path, body) {
  const headers = { Origin: address, "Content-Type": "application/x-www-form-urlencoded" };
  return new Promise((resolve, reject) => {
    const asked = request(address + path, { method: "POST", agent: false, headers }, async (response) => {
      let text = "";
      for await (const part of response.setEncoding("utf8")) {
        text += part;
      }
      resolve({ status: response.statusCode, text });
    });
    asked.on("error", reject);
    asked.end(body);
  });
}

const folder = await mkdtemp(join(tmpdir(), "icefront-"));
await cp(join(ledger, "kitchen"), folder, { recursive: true });
const server = spawn(icefront, ["page", "--samples", samples], { cwd: folder, stdio: ["ignore", "pipe", "inherit"] });
try {
  const line = await new Promise((resolve) => createInterface(server.stdout).once("line", resolve));
  const address = line.match(/http:\/\/[^/]+/)[0];
  const { instance } = await WebAssembly.instantiate(await readFile(module), {});
  const names = (await readdir(folder)).filter((name) => name.includes("."));
  let files = await Promise.all(names.map(async (name) => ({ name, bytes: await readFile(join(folder, name)) })));
  const now = new Date();
  const today = [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, "0")).join("-");

  async function both(path, form) {
    const theirs = await sent(address, path, new URLSearchParams(form).toString());
    const began = performance.now();
    const ours = callModule(instance, { path, form, today, few: 0, all: Number(samples) }, files);
    files = [];
    return { theirs, ours, ms: performance.now() - began };
  }

  const text = await readFile(join(ledger, "sheets.jsonl"), "utf8");
  const sheets = text.trim().split("\n").map((line) => JSON.parse(line));
  const every = Math.max(1, Math.floor(sheets.length / Number(count)));
  const chosen = sheets.filter((_, index) => index % every === 0).slice(0, Number(count));
  const cases = chosen.flatMap((sheet) => ["/live", "/json"].map((path) => [sheet.id, path, [["sheet", toml(sheet)], ["pace", "rest"]]]));
  // what more can be asked, once each
  QUESTIONS.forEach((question) => cases.push([question, "/live", [["sheet", toml(chosen[0])], ["pace", "rest"], ["do", question]]]));
  const sum = { numbers: 0, steps: 0, farthest: 0, failed: 0, ms: 0 };
  for (const [name, path, form] of cases) {
    const { theirs, ours, ms } = await both(path, form);
    sum.ms += ms;
    const shown = numbers(ours.text);
    const far = numbers(theirs.text).map((number, index) => apart([number, shown[index]])).filter((share) => share > 0);
    const farthest = Math.max(0, ...far);
    if (theirs.status !== ours.status || words(theirs.text) !== words(ours.text) || farthest > STEP) {
      sum.failed += 1;
      console.log("DIFFERS", name, path, theirs.status, ours.status, farthest, ...place(theirs.text, ours.text));
      continue;
    }
    sum.numbers += shown.length;
    sum.steps += far.length;
    sum.farthest = Math.max(sum.farthest, farthest);
  }
  console.log(
    `${cases.length} answers of both hosts with ${samples} samples: ${sum.failed} differ; of ${sum.numbers} numbers ${sum.steps} ` +
      `differ by more than a billionth, at most by ${sum.farthest.toExponential(1)}; ${(sum.ms / cases.length).toFixed(0)} ms each in the module`,
  );
  assert.equal(sum.failed, 0);
  assert.ok(sum.steps <= MOST_STEPS * sum.numbers);
} finally {
  server.kill();
  await rm(folder, { recursive: true });
}
