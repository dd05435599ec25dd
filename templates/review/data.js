// The records: columns of joints, and what they are found by.
let core;
let joints;

function begin(data) {
  core = data;
  const told = data.joints;
  joints = { count: told.number.length, number: told.number, kp: told.kp, told };
  for (const name of ["line", "kind", "status", "wps", "day", "welders", "batches", "heats",
    "stages", "verdict", "open", "weight", "because"]) {
    joints[name] = Uint32Array.from(told[name].at);
  }
}

const word = (column, row) => joints.told[column].words[joints[column][row]];
const wpsOf = (row) => { const [number, revision] = word("wps", row); return number ? `${number} rev. ${revision}` : "-"; };
const kpOf = (row) => (joints.kp[row] === null ? "-" : (joints.kp[row] / 1000).toFixed(3));
const openOf = (row) => word("open", row);
const verdictOf = (row) => core.verdicts[word("verdict", row)];
const reached = (row, stage) => Boolean(word("stages", row) & (1 << stage));
const stagesOf = (row) => core.stages.filter((_, stage) => reached(row, stage)).join(", ") || "-";

let numbers;

function rowsOf(number) {
  if (!numbers) {
    numbers = new Map();
    joints.number.forEach((one, row) => {
      if (numbers.has(one)) numbers.get(one).push(row);
      else numbers.set(one, [row]);
    });
  }
  return numbers.get(number) || [];
}

function everyJoint() {
  return Uint32Array.from({ length: joints.count }, (_, row) => row);
}

// Rows whose word in a column passes a test; each distinct word is tested once.
function where(rows, column, test) {
  const good = joints.told[column].words.map(test);
  const at = joints[column];
  return rows.filter((row) => good[at[row]]);
}

let hay;
let starts;

const needleOf = (text, number) => {
  const dash = number.indexOf("-");
  return text.replaceAll("\x01", number).replaceAll("\x02", dash < 0 ? "" : number.slice(dash + 1));
};

let gathering;

// Gathers once what is searched; a search waits for it, a list of all joints need not.
function gatherHay() {
  gathering = gathering || gatherOnce();
  return gathering;
}

async function gatherOnce() {
  const needles = await open("data-needles");
  const flat = (column) => joints.told[column].words.map((one) => [one].flat().join(" "));
  const parts = ["line", "kind", "status", "wps", "welders", "batches", "heats", "day"].map((column) => [flat(column), joints[column]]);
  const lines = new Array(joints.count);
  const begins = new Uint32Array(joints.count + 1);
  let length = 0;
  for (let row = 0; row < joints.count; row += 1) {
    const number = joints.number[row];
    let line = `${number} ${needleOf(needles[row], number)}`;
    for (const [words, at] of parts) line += ` ${words[at[row]]}`;
    line = line.replaceAll("\n", " ").toLowerCase();
    lines[row] = line;
    begins[row] = length;
    length += line.length + 1;
  }
  begins[joints.count] = length;
  starts = begins;
  hay = lines.join("\n");
  document.documentElement.dataset.searchable = "yes";
}

function rowAt(place) {
  let low = 0;
  let high = joints.count - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (starts[middle] <= place) low = middle;
    else high = middle - 1;
  }
  return low;
}

// Rows that hold every word of the text somewhere. The hay must have been gathered.
function searched(text) {
  const words = text.toLowerCase().split(/\s+/).filter(Boolean).sort((a, b) => b.length - a.length);
  if (!words.length) return everyJoint();
  const found = [];
  for (let place = hay.indexOf(words[0]); place >= 0;) {
    const row = rowAt(place);
    const end = starts[row + 1];
    const others = words.slice(1);
    if (!others.length) found.push(row);
    else {
      const line = hay.slice(starts[row], end);
      if (others.every((one) => line.includes(one))) found.push(row);
    }
    place = hay.indexOf(words[0], end);
  }
  return Uint32Array.from(found);
}

// The rows that hold a name as a whole word: a film, a report, an item.
function named(text) {
  const whole = text.toLowerCase();
  return searched(text).filter((row) => ` ${hay.slice(starts[row], starts[row + 1] - 1)} `.includes(` ${whole} `));
}

// Digits padded, so that J-2 stands before J-10.
const inOrder = (text) => text.replace(/\d+/g, (digits) => digits.padStart(9, "0"));

function letterColumn(column) {
  if (Array.isArray(column)) return (row) => column[row];
  const places = new Map();
  let code = 0x23;
  const at = [];
  for (const letter of column.letters) {
    if (!places.size) {
      for (let place = 0; place < column.words.length; place += 1) {
        if (code === 0x5c) code = 0x5d;
        if (code === 0x7f) code = 0xa1;
        places.set(String.fromCharCode(code), place);
        code += 1;
      }
    }
    at.push(places.get(letter));
  }
  return (row) => column.words[at[row]];
}

// The history of one joint, taken from the block that holds it.
async function historyOf(row) {
  const block = await open(`data-histories-${Math.floor(row / core.block)}`);
  const own = row % core.block;
  const read = block.read || (block.read = {
    facts: block.facts.map(letterColumn),
    parts: block.parts.map((part) => ({
      ...part,
      cells: part.columns.map(letterColumn),
      note: letterColumn(part.notes),
      begins: sums(part.rows),
    })),
  });
  return {
    document: block.documents[own],
    mark: block.marks[own],
    caution: block.cautions[own],
    facts: block.labels.map((label, place) => [label, read.facts[place](own)]),
    parts: read.parts.map((part) => ({
      title: part.title, heads: part.heads, right: part.right, note: part.note(own),
      rows: Array.from({ length: part.rows[own] }, (_, n) => part.cells.map((cell) => cell(part.begins[own] + n))),
    })),
  };
}

function sums(counts) {
  let whole = 0;
  return [0, ...counts.map((count) => { whole += count; return whole; })];
}
