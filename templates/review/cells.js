// Cells with their marks, links between the views, and links to the papers.
const MARKS = new Set(["good", "note", "hold", "nonconformity", "cut-out", "bad", "soon", "soft", "clear"]);
const LEADS = { Welder: "welder", Stamp: "welder", Batch: "batch", Heat: "heat", "Heat, log": "heat", "Heat, item": "heat", WPS: "wps", Joint: "joint", Section: "strip" };
const NOTHING = new Set(["", "-", "not on record"]);

function lead(label, text) {
  const name = LEADS[label];
  if (!name || NOTHING.has(text)) return el("bdi", null, text);
  const value = name === "wps" ? text.replace(/ rev\. .*$/, "") : text;
  return el("a", { href: address(name, value) }, el("bdi", null, text));
}

// A document by its register number, linked where it can be opened.
function paper(number, page, told) {
  const known = core.documents[number];
  const text = told || `${number}, page ${page}`;
  if (!known || !known[1]) return el("bdi", { title: known ? known[0] : "not in the register" }, text);
  const href = `${known[1]}#page=${known[2] + Math.max(page, 1) - 1}`;
  return el("a", { href, target: "_blank", rel: "noopener", title: known[0] }, el("bdi", null, text));
}

function proofs(pages) {
  return pages.map(([number, page], at) => [at ? "; " : "", paper(number, page)]);
}

function inner(label, text) {
  const page = /^(.+), page (\d+)$/.exec(text);
  if (page && page[1] in core.documents) return paper(page[1], Number(page[2]), text);
  return lead(label, text);
}

function cell(label, raw, right) {
  const [text, mark] = raw.split(MARK);
  const classes = [right ? "right" : "", MARKS.has(mark) ? `mark ${mark}` : ""].join(" ").trim();
  return el("td", { class: classes || null }, inner(label, text));
}

// A table of the documents, as the sheets print it.
function sheetTable({ title, heads, right, rows, note }, level = "h2") {
  if (!rows.length) return null;
  const id = `t${Math.random().toString(36).slice(2)}`;
  const labelled = (row, label, at) => {
    if (label === "Document" && row.length > at + 2 && heads[at + 2] === "Page") return el("td", null, paper(row[at], Number(row[at + 2].split(MARK)[0]), row[at].split(MARK)[0]));
    return cell(label, row[at], right && right[at]);
  };
  return el("section", null,
    el(level, { id }, title),
    el("div", { class: "wide", tabindex: 0, role: "region", "aria-labelledby": id },
      el("table", { "aria-labelledby": id },
        el("thead", null, el("tr", null, heads.map((head, at) => el("th", { scope: "col", class: right && right[at] ? "right" : null }, head || el("span", { class: "unseen" }, "Answer"))))),
        el("tbody", null, rows.map((row) => el("tr", null, heads.map((label, at) => labelled(row, label, at))))))),
    note ? el("p", { class: "note" }, note) : null);
}

function facts(pairs) {
  return el("dl", { class: "facts" }, pairs.filter(([, value]) => value && value !== "-").map(([label, value]) => el("div", null, el("dt", null, label), el("dd", null, value instanceof Node ? value : inner(label, String(value))))));
}

function verdict(name) {
  return el("span", { class: `verdict ${MARKS.has(name) ? name : ""}` }, name);
}

function heading(text, ...more) {
  return el("div", { class: "heading" }, el("h1", { tabindex: -1 }, el("bdi", null, text)), ...more);
}

function choice(label, options, value, change) {
  const select = el("select", { onchange: () => change(select.value) }, options.map(([one, told]) => el("option", { value: one, selected: String(one) === String(value) }, told)));
  return el("label", { class: "field" }, label, select);
}

function textField(label, value, change, type = "search") {
  const input = el("input", { type, value, autocomplete: "off", spellcheck: "false", oninput: () => change(input.value) });
  return el("label", { class: "field" }, label, input);
}

const openList = (row) => openOf(row) ? String(openOf(row)) : "-";

const JOINT_COLUMNS = {
  number: { label: "Joint", width: 8, text: (row) => joints.number[row] },
  line: { label: "Line", width: 5, text: (row) => word("line", row) },
  kp: { label: "KP", width: 6, right: true, text: kpOf, key: (row) => joints.kp[row] ?? -Infinity },
  kind: { label: "Kind", width: 6.5, text: (row) => word("kind", row) },
  status: { label: "Status", width: 6, text: (row) => word("status", row) },
  wps: { label: "WPS", width: 8.5, text: wpsOf },
  day: { label: "Welded on", width: 7, text: (row) => word("day", row) },
  welders: { label: "Welders", width: 10, text: (row) => word("welders", row).join(", ") || "-" },
  stages: { label: "Stages reached", width: 8.5, text: stagesOf, node: stageMarks, key: (row) => word("stages", row) },
  verdict: { label: "Verdict", width: 9.8, text: verdictOf, node: (row) => verdict(verdictOf(row)), key: (row) => word("verdict", row) },
  open: { label: "Open points", width: 6.5, right: true, text: openList, key: openOf },
};

function stageMarks(row) {
  return el("span", { class: "stages" }, core.stages.map((stage, at) => el("span", { class: reached(row, at) ? `stage s${at}` : "stage", title: `${stage}: ${reached(row, at) ? "yes" : "not on record"}` }, reached(row, at) ? stage[0].toUpperCase() : el("span", { class: "none" }, "·"))), el("span", { class: "unseen" }, stagesOf(row)));
}

function jointTable(label, file, leave = []) {
  const columns = Object.entries(JOINT_COLUMNS).filter(([name]) => !leave.includes(name)).map(([, column]) => column);
  return new LongTable({ label, file, columns, link: (row) => address("joint", joints.number[row]) });
}
