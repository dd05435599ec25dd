// Elements are made here and nowhere from text: what a record says is only ever text.
const MARK = "\x1f";
const SVG = "http://www.w3.org/2000/svg";

function put(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes || {})) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else node.setAttribute(name, value === true ? "" : value);
  }
  for (const child of children.flat(Infinity)) {
    if (child !== null && child !== undefined && child !== "") node.append(child);
  }
  return node;
}

function el(name, attributes, ...children) {
  return put(document.createElement(name), attributes, children);
}

function shape(name, attributes, ...children) {
  return put(document.createElementNS(SVG, name), attributes, children);
}

const byId = (id) => document.getElementById(id);
const plural = (count, one, many) => `${count.toLocaleString("en")} ${count === 1 ? one : many || `${one}s`}`;

function say(text) {
  byId("said").textContent = text;
}

function bytesOf(text) {
  if (Uint8Array.fromBase64) return Uint8Array.fromBase64(text);
  const raw = atob(text);
  const bytes = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i += 1) bytes[i] = raw.charCodeAt(i);
  return bytes;
}

const opened = new Map();

// Opens a block of the page once; later callers share what was opened.
function open(id) {
  if (!opened.has(id)) opened.set(id, unpacked(id));
  return opened.get(id);
}

// The script runs as soon as the first block is there; the others are still being read then.
const whole = document.readyState !== "loading" ? Promise.resolve() : new Promise((done) => { document.addEventListener("DOMContentLoaded", done); });

async function unpacked(id) {
  if (!byId(id)) await whole;
  const bytes = bytesOf(byId(id).textContent);
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
  return JSON.parse(await new Response(stream).text());
}

// An address inside the page: #name=value&more=value.
function address(name, value, more) {
  const parts = [value === undefined ? name : `${name}=${encodeURIComponent(value)}`];
  for (const [key, one] of Object.entries(more || {})) {
    if (one !== "" && one !== undefined) parts.push(`${key}=${encodeURIComponent(one)}`);
  }
  return `#${parts.join("&")}`;
}

function asked(hash) {
  const found = [];
  for (const part of hash.replace(/^#/, "").split("&")) {
    const at = part.indexOf("=");
    const [key, value] = at < 0 ? [part, ""] : [part.slice(0, at), part.slice(at + 1)];
    try {
      found.push([decodeURIComponent(key), decodeURIComponent(value)]);
    } catch {
      found.push([key, value]);
    }
  }
  return { name: found[0][0], value: found[0][1], more: Object.fromEntries(found.slice(1)) };
}

// What a spreadsheet would take for a formula gets an apostrophe; a plain number needs none.
function guarded(text) {
  const risky = /^[=+\-@\t\r\n]/.test(text) && !/^-?\d+(\.\d+)?$/.test(text);
  const safe = risky ? `'${text}` : text;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

function csv(heads, rows) {
  return `\ufeff${[heads, ...rows].map((row) => row.map((cell) => guarded(String(cell))).join(",")).join("\r\n")}\r\n`;
}

function save(name, text) {
  const url = URL.createObjectURL(new Blob([text], { type: "text/csv;charset=utf-8" }));
  const anchor = el("a", { href: url, download: name });
  anchor.click();
  setTimeout(() => URL.revokeObjectURL(url), 10000);
}

// Adds what there is to add; a part that is left out leaves no trace.
function add(node, ...children) {
  put(node, null, children);
}
