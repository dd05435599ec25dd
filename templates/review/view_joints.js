// All joints, filtered; what the address says is what is shown, so that a list can be sent.
async function drawJoints(page, { more }) {
  const state = { text: "", line: "", kind: "", status: "", verdict: "", without: "", welder: "", heat: "", batch: "", wps: "", ...more };
  const table = jointTable("Joints", `${core.project}-joints`);
  const change = (name) => (value) => {
    state[name] = value;
    history.replaceState(null, "", address("joints", undefined, state));
    list();
  };
  const any = (name, words) => [["", `any ${name}`], ...words.filter(Boolean).map((one) => [one, one])];
  const list = async () => {
    if (state.text) await gatherHay();
    table.show(jointsBy(state)); say(`${plural(table.rows.length, "joint")} shown.`);
  };
  add(page, heading("Joints"), el("form", { class: "filters", onsubmit: (event) => event.preventDefault() },
    textField("Holds these words", state.text, change("text")),
    choice("Line", any("line", [...joints.told.line.words].sort()), state.line, change("line")),
    choice("Kind", any("kind", [...joints.told.kind.words].sort()), state.kind, change("kind")),
    choice("Status", any("status", [...joints.told.status.words].sort()), state.status, change("status")),
    choice("Worst open verdict", any("verdict", core.verdicts), state.verdict, change("verdict")),
    choice("Has not reached", any("stage", core.stages), state.without, change("without"))),
  chips(state, change), table.node);
  await list();
}

const THINGS = { welder: "welders", heat: "heats", batch: "batches" };

function jointsBy(state) {
  let rows = state.text ? searched(state.text) : everyJoint();
  for (const name of ["line", "kind", "status"]) if (state[name]) rows = where(rows, name, (one) => one === state[name]);
  if (state.verdict) rows = where(rows, "verdict", (one) => core.verdicts[one] === state.verdict);
  const stage = core.stages.indexOf(state.without);
  if (stage >= 0) rows = where(where(rows, "stages", (bits) => !(bits & (1 << stage))), "status", (one) => one === "welded" || one === "planned");
  for (const [name, column] of Object.entries(THINGS)) if (state[name]) rows = where(rows, column, (words) => words.includes(state[name]));
  if (state.wps) rows = where(rows, "wps", ([number]) => number === state.wps);
  return rows;
}

function chips(state, change) {
  const names = ["welder", "heat", "batch", "wps"].filter((name) => state[name]);
  return el("p", { class: "chips" }, names.map((name) => {
    const chip = el("button", { type: "button", onclick: () => { chip.remove(); change(name)(""); } }, `${name} ${state[name]}: drop this filter`);
    return chip;
  }));
}
