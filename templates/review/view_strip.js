// The strip map: one line by KP, with zoom by button, key or a choice in the map.
function drawStrip(page, { value, more }) {
  const lines = joints.told.line.words.filter(Boolean);
  const id = lines.includes(value) ? value : lines[0];
  add(page, heading("Strip map"));
  if (!id) { add(page, el("p", null, "No joint names a line.")); return; }
  const standing = where(where(everyJoint(), "line", (one) => one === id), "status", (one) => one === "welded" || one === "planned");
  const rows = Array.from(standing).filter((row) => joints.kp[row] !== null).sort((one, other) => joints.kp[one] - joints.kp[other]);
  const ends = rows.length ? [joints.kp[rows[0]], joints.kp[rows[rows.length - 1]]] : [0, 0];
  let span = more.from && more.to ? [Number(more.from), Number(more.to)] : ends;
  const hold = el("div", { class: "strip", tabindex: 0, role: "region", "aria-label": `Strip map of ${id}. Plus and minus zoom, arrows move, Home shows the whole line.` });
  const table = jointTable("Joints in the window", `${core.project}-${id}-strip`, ["line"]);
  const told = el("p", { class: "count" });
  const show = () => {
    hold.replaceChildren(stripMap(`Line ${id}`, rows, span, (from, to) => go(from, to)));
    const inside = rows.filter((row) => joints.kp[row] >= span[0] && joints.kp[row] <= span[1]);
    told.textContent = `KP ${(span[0] / 1000).toFixed(3)} to ${(span[1] / 1000).toFixed(3)}, ${plural(inside.length, "joint")}. ${standing.length - rows.length ? `${plural(standing.length - rows.length, "joint")} without a chainage left out.` : ""}`;
    table.show(inside);
    history.replaceState(null, "", address("strip", id, span === ends ? {} : { from: span[0], to: span[1] }));
  };
  const go = (from, to) => {
    const least = Math.max(to - from, (ends[1] - ends[0]) / 1e6, 20);
    const middle = (from + to) / 2;
    const low = Math.max(ends[0], Math.min(middle - least / 2, ends[1] - least));
    span = least >= ends[1] - ends[0] ? ends : [low, low + least];
    show();
    say(told.textContent);
  };
  const zoom = (by) => { const middle = (span[0] + span[1]) / 2; const half = ((span[1] - span[0]) / 2) * by; go(middle - half, middle + half); };
  const move = (by) => { const step = (span[1] - span[0]) * by; go(span[0] + step, span[1] + step); };
  const keys = { "+": () => zoom(0.5), "=": () => zoom(0.5), "-": () => zoom(2), ArrowLeft: () => move(-0.5), ArrowRight: () => move(0.5), Home: () => go(...ends) };
  hold.addEventListener("keydown", (event) => { if (event.target === hold && keys[event.key]) { event.preventDefault(); keys[event.key](); } });
  const button = (text, act) => el("button", { type: "button", onclick: act }, text);
  add(page, el("div", { class: "filters" }, choice("Line", lines.map((one) => [one, one]), id, (one) => { location.hash = address("strip", one); }),
    button("Zoom in", keys["+"]), button("Zoom out", keys["-"]), button("Back along the line", keys.ArrowLeft), button("On along the line", keys.ArrowRight), button("Whole line", keys.Home)),
  told, rows.length ? hold : el("p", null, "No joint of this line has a chainage."),
  el("p", { class: "note" }, "A filled cell has reached the stage; where a cell stands for several joints it is filled by their share. Choose a cell to open the joint or to zoom in."), table.node);
  show();
}
