// Charts as SVG. Colours come from the style, so that light, dark and paper each have their own.
function drawing(width, height, title, ...parts) {
  return shape("svg", { viewBox: `0 0 ${width} ${height}`, role: "img", "aria-label": title, class: "chart", preserveAspectRatio: "xMinYMin meet" }, shape("title", null, title), ...parts);
}

const label = (x, y, text, more) => shape("text", { x, y, ...more }, text);
const short = (text, most) => (text.length > most ? `${text.slice(0, most - 1)}…` : text);
const percentOf = (text) => { const found = /^(-?[\d.]+) %$/.exec((text || "").split(MARK)[0]); return found ? Number(found[1]) : null; };

// Draws once there is a width, and again whenever it changes.
function fluid(draw) {
  const node = el("div", { class: "fluid" });
  let last = 0;
  new ResizeObserver(() => {
    const width = Math.max(260, Math.floor(node.clientWidth));
    if (width === last || !node.clientWidth) return;
    last = width;
    node.replaceChildren(draw(width));
  }).observe(node);
  return node;
}

// Rates with the ends of their intervals, one bar a row.
function rateBars(title, rows) {
  return fluid((width) => {
    const left = Math.min(150, width * 0.32);
    const right = 128;
    const most = Math.max(5, ...rows.map((row) => row.high ?? row.value ?? 0));
    const x = (value) => left + (Math.min(value, most) / most) * (width - left - right);
    const parts = rows.map((row, at) => {
      const y = 8 + at * 24;
      const value = row.value ?? 0;
      return shape("g", null,
        label(left - 6, y + 13, short(row.name, Math.floor(left / 7)), { "text-anchor": "end" }),
        shape("rect", { x: left, y: y + 2, width: Math.max(0, x(value) - left), height: 15, class: "bar" }),
        row.low === null ? null : shape("path", { d: `M${x(row.low)} ${y + 9.5}H${x(row.high)}M${x(row.low)} ${y + 6}v7M${x(row.high)} ${y + 6}v7`, class: "whisker" }),
        label(width - right + 8, y + 13, row.told, { class: "soft" }),
        shape("title", null, `${row.name}: ${value} %, ${row.told}${row.low === null ? "" : `, interval ${row.low} % to ${row.high} %`}`));
    });
    const base = 8 + rows.length * 24;
    const ticks = [0, most / 2, most].map((value) => label(x(value), base + 14, `${value.toFixed(most < 10 ? 1 : 0)} %`, { "text-anchor": "middle", class: "soft" }));
    return drawing(width, base + 20, title, shape("path", { d: `M${left} 4V${base}H${width - right}`, class: "axis" }), parts, ticks);
  });
}

// Week by week: rate as points, limits as steps, the sum since the start as a line.
function weekChart(title, weeks) {
  return fluid((width) => {
    const height = 220;
    const [left, right, top, base] = [44, 10, 12, height - 30];
    const most = Math.max(5, ...weeks.flatMap((week) => [week.value, week.high, week.sum]));
    const step = (width - left - right) / Math.max(1, weeks.length);
    const x = (at) => left + step * (at + 0.5);
    const y = (value) => base - (value / most) * (base - top);
    const line = (key) => weeks.map((week, at) => `${at ? "L" : "M"}${x(at)} ${y(week[key])}`).join("");
    const steps = (key) => weeks.map((week, at) => `M${x(at) - step / 2} ${y(week[key])}h${step}`).join("");
    const every = Math.ceil(weeks.length / Math.max(1, Math.floor(width / 80)));
    return drawing(width, height, `${title}: points a week, dashes its limits, line the rate since the start`,
      shape("path", { d: `M${left} ${top}V${base}H${width - right}`, class: "axis" }),
      [0, most / 2, most].map((value) => label(left - 5, y(value) + 4, `${value.toFixed(0)} %`, { "text-anchor": "end", class: "soft" })),
      shape("path", { d: steps("high") + steps("low"), class: "limit" }),
      shape("path", { d: line("sum"), class: "sum" }),
      weeks.map((week, at) => [
        shape("circle", { cx: x(at), cy: y(week.value), r: week.outside ? 6 : 4, class: week.outside ? "dot outside" : "dot" }, shape("title", null, `${week.name}: ${week.value} %${week.outside ? ", outside the limits" : ""}`)),
        at % every ? null : label(x(at), height - 10, week.name, { "text-anchor": "middle", class: "soft" }),
      ]));
  });
}

function chartOf({ title, heads, rows }) {
  const at = (name) => heads.indexOf(name);
  const text = (row, name) => row[at(name)].split(MARK)[0];
  if (heads[0] === "Week" && at("Upper limit") > 0) {
    return weekChart(title, rows.map((row) => ({
      name: text(row, "Week"), value: percentOf(text(row, "Rate")) ?? 0, low: percentOf(text(row, "Lower limit")) ?? 0,
      high: percentOf(text(row, "Upper limit")) ?? 0, sum: percentOf(text(row, "Sum rate")) ?? 0, outside: text(row, "Outside") === "yes",
    })));
  }
  if (at("Rate") < 0 || at("From") < 0) return null;
  const bars = rows.filter((row) => percentOf(text(row, "Rate")) !== null).slice(0, 60).map((row) => ({
    name: row[0].split(MARK)[0], value: percentOf(text(row, "Rate")), low: percentOf(text(row, "From")), high: percentOf(text(row, "To")),
    told: `${row[1].split(MARK)[0]} of ${row[2].split(MARK)[0]}`,
  }));
  return bars.length ? rateBars(title, bars) : null;
}

const dayNumber = (text) => Date.parse(`${text}T00:00:00Z`) / 86400000;

// Certificates of a welder over the days: in force, not in force, confirmations, days of work.
function timeline(title, lanes) {
  return fluid((width) => {
    const left = Math.min(170, width * 0.34);
    const today = dayNumber(core.as_of);
    const known = lanes.flatMap((lane) => [lane.tested, ...lane.bars.map(([since]) => since), ...lane.work]).filter((one) => one !== "-").map(dayNumber);
    const first = Math.min(...known, today - 60) - 6;
    const last = today + Math.max(30, (today - first) / 6);
    const x = (day) => left + ((Math.min(Math.max(day, first), last) - first) / (last - first)) * (width - left - 12);
    const parts = months(first, last, width - left).map(([day, told]) => [
      shape("path", { d: `M${x(day)} 22V${30 + lanes.length * 44}`, class: "grid" }), label(x(day), 16, told, { "text-anchor": "middle", class: "soft" })]);
    lanes.forEach((lane, at) => parts.push(laneOf(lane, 30 + at * 44, x, last, left)));
    const base = 30 + lanes.length * 44;
    parts.push(shape("path", { d: `M${x(today)} 22V${base}`, class: "today" }), label(x(today), base + 14, core.as_of, { "text-anchor": "middle", class: "soft" }));
    return drawing(width, base + 20, title, parts);
  });
}

function months(first, last, room) {
  const found = [];
  const day = new Date(first * 86400000);
  day.setUTCDate(1);
  const step = Math.ceil((last - first) / 30 / Math.max(1, Math.floor(room / 74)));
  for (let n = 1; n < 600; n += 1) {
    const one = Date.UTC(day.getUTCFullYear(), day.getUTCMonth() + n, 1) / 86400000;
    if (one > last) break;
    if (n % step === 0) found.push([one, new Date(one * 86400000).toISOString().slice(0, 7)]);
  }
  return found;
}

function laneOf(lane, top, x, last, left) {
  const covered = (day) => lane.bars.some(([since, until]) => since <= day && (until === "-" || day <= until));
  const most = Math.floor(left / 6.6);
  return shape("g", null,
    label(2, top + 13, short(lane.certificate, most), { class: "strong" }),
    label(2, top + 28, short(`${lane.process}, ${lane.code}`, most), { class: "soft" }),
    lane.bars.map(([since, until]) => {
      const end = until === "-" ? last : dayNumber(until) + 1;
      return shape("rect", { x: x(dayNumber(since)), y: top + 3, width: Math.max(2, x(end) - x(dayNumber(since))), height: 14, class: "inforce" }, shape("title", null, `in force ${since} to ${until === "-" ? "no lapse by time" : until}`));
    }),
    lane.gaps.map(([since, until]) => shape("rect", { x: x(dayNumber(since)), y: top + 3, width: Math.max(2, x(dayNumber(until) + 1) - x(dayNumber(since))), height: 14, class: "broken" }, shape("title", null, `not in force ${since} to ${until}`))),
    lane.ticks.map(([day, by]) => shape("path", { d: `M${x(dayNumber(day))} ${top}v20`, class: "tick" }, shape("title", null, `confirmed ${day} by ${by}`))),
    label(x(dayNumber(lane.tested)) + 4, top + 14, "T", { class: "strong" }),
    lane.work.map((day) => covered(day)
      ? shape("circle", { cx: x(dayNumber(day)), cy: top + 27, r: 2.6, class: "work" }, shape("title", null, `welded ${day}`))
      : shape("path", { d: `M${x(dayNumber(day)) - 4} ${top + 23}l8 8m0 -8l-8 8`, class: "cross" }, shape("title", null, `welded ${day}, certificate not in force`))));
}
