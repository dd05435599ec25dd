// A line by KP: a lane a stage, one cell a joint, or the share of several where they lie close.
const STRIP_LANE = 22;

function stripCells(rows, from, to, width) {
  const most = Math.max(20, Math.floor(width / 11));
  const inside = rows.filter((row) => joints.kp[row] >= from && joints.kp[row] <= to);
  if (inside.length <= most) return { inside, cells: inside.map((row) => [row]), single: true };
  const size = (to - from) / most;
  const cells = Array.from({ length: most }, () => []);
  for (const row of inside) cells[Math.min(most - 1, Math.floor((joints.kp[row] - from) / size))].push(row);
  return { inside, cells, single: false };
}

function stripLanes(cells, place, each, stage, y) {
  return cells.map((cell, at) => {
    if (!cell.length) return null;
    const done = cell.filter((row) => reached(row, stage)).length / cell.length;
    const height = (STRIP_LANE - 4) * done;
    const told = cell.length === 1 ? `${joints.number[cell[0]]}, ${core.stages[stage]}: ${done ? "yes" : "not on record"}` : `${cell.length} joints, ${core.stages[stage]}: ${Math.round(100 * done)} %`;
    return shape("g", null, shape("title", null, told),
      shape("rect", { x: place(at), y: y + 2, width: each, height: STRIP_LANE - 4, class: "cell" }),
      height ? shape("rect", { x: place(at), y: y + STRIP_LANE - 2 - height, width: each, height, class: `fill s${stage}` }) : null,
      cell.length === 1 && done && each >= 9 ? label(place(at) + each / 2, y + STRIP_LANE / 2 + 4, core.stages[stage][0].toUpperCase(), { "text-anchor": "middle", class: "letter" }) : null);
  });
}

// The map of a window; `enter(from, to)` is asked for when a cell of several joints is chosen.
function stripMap(title, rows, [from, to], enter) {
  return fluid((width) => {
    const left = Math.min(86, width * 0.24);
    const room = width - left - 10;
    const { cells, single } = stripCells(rows, from, to, room);
    const step = room / Math.max(cells.length, 1);
    const each = Math.max(1, Math.min(16, step - 1));
    const spread = single ? spreadPlaces(cells, from, to, left, room, each) : null;
    const place = (at) => (spread ? spread[at] : left + at * step);
    const lanes = core.stages.length;
    const base = 8 + STRIP_LANE * (lanes + 1);
    const parts = core.stages.map((stage, at) => [label(2, 8 + STRIP_LANE * at + 15, stage), stripLanes(cells, place, each, at, 8 + STRIP_LANE * at)]);
    parts.push(label(2, base - 7, "verdict"), cells.map((cell, at) => verdictCell(cell, place(at), base - STRIP_LANE, each)));
    const targets = cells.map((cell, at) => (cell.length ? target(cell, place(at), each, base, enter) : null));
    const ticks = [0, 0.25, 0.5, 0.75, 1].map((share) => label(left + share * room, base + 16, `KP ${((from + share * (to - from)) / 1000).toFixed(3)}`, { "text-anchor": share === 0 ? "start" : share === 1 ? "end" : "middle", class: "soft" }));
    const shownTicks = width < 560 ? [ticks[0], ticks[4]] : ticks;
    const svg = drawing(width, base + 24, title, parts, shape("path", { d: `M${left} ${base + 2}H${width - 10}`, class: "axis" }), shownTicks, targets);
    svg.setAttribute("role", "group");
    return svg;
  });
}

function spreadPlaces(cells, from, to, left, room, each) {
  const places = [];
  for (const [row] of cells) {
    const at = left + ((joints.kp[row] - from) / (to - from || 1)) * (room - each);
    places.push(places.length ? Math.max(at, places[places.length - 1] + each + 1) : at);
  }
  for (let n = places.length - 1, limit = left + room - each; n >= 0; n -= 1) {
    places[n] = Math.min(places[n], limit);
    limit = places[n] - each - 1;
  }
  return places;
}

function verdictCell(cell, x, y, width) {
  if (!cell.length) return null;
  const worst = Math.max(...cell.map((row) => word("verdict", row)));
  const name = core.verdicts[worst];
  return shape("rect", { x, y: y + 2, width, height: STRIP_LANE - 4, class: `cell v-${name}` }, shape("title", null, `${cell.length === 1 ? joints.number[cell[0]] : `${cell.length} joints, worst`}: ${name}`));
}

function target(cell, x, width, base, enter) {
  const one = cell.length === 1;
  const kps = cell.map((row) => joints.kp[row]);
  const href = one ? address("joint", joints.number[cell[0]]) : "#strip";
  const told = one ? joints.number[cell[0]] : `${cell.length} joints, KP ${(Math.min(...kps) / 1000).toFixed(3)} to ${(Math.max(...kps) / 1000).toFixed(3)}: zoom in`;
  const link = shape("a", { href, "aria-label": told }, shape("title", null, told), shape("rect", { x, y: 6, width, height: base - 6, class: "target" }));
  if (!one) link.addEventListener("click", (event) => { event.preventDefault(); enter(Math.min(...kps), Math.max(...kps)); });
  return link;
}
