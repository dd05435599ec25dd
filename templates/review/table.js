// A table of any length: only the rows in sight exist, in a real table with true row numbers.
const ROW_PX = 34;
const MOST_ROWS = 450000; // browsers bound the height of an element
const PRINTED_ROWS = 300;
const tables = new Set();

// A wide column gives way on a narrow screen, so that the next one can be seen.
const wideAs = (column) => (column.width > 14 ? `min(${column.width}rem, 70vw)` : `${column.width}rem`);

class LongTable {
  // columns: {label, width (rem), text(row), node?(row), key?(row), right?}; link(row) opens a row.
  constructor({ label, columns, link, file }) {
    Object.assign(this, { label, columns, link, file, rows: [], active: 0, sorted: null, printing: false });
    this.count = el("p", { class: "count" });
    this.body = el("tbody");
    this.heads = columns.map((column, at) => this.head(column, at));
    const widths = el("colgroup", null, columns.map((column) => { const one = el("col"); one.style.width = wideAs(column); return one; }));
    this.table = el("table", { class: "long" }, el("caption", { class: "unseen" }, label), widths, el("thead", null, el("tr", { "aria-rowindex": 1 }, this.heads)), this.body);
    this.table.style.minWidth = `calc(${columns.map(wideAs).join(" + ")})`;
    this.window = el("div", { class: "window", tabindex: 0, role: "region", "aria-label": `${label}, scrolls` }, this.table);
    this.window.addEventListener("scroll", () => this.later());
    this.window.addEventListener("keydown", (event) => this.keyed(event));
    const button = el("button", { type: "button", onclick: () => this.export() }, "Save shown rows as CSV");
    this.node = el("div", { class: "longtable" }, el("div", { class: "tools" }, this.count, button), this.window);
    this.watch = new ResizeObserver(() => this.later());
    this.watch.observe(this.window);
    tables.add(this);
  }

  head(column, at) {
    const button = el("button", { type: "button", class: "sort", onclick: () => this.sort(at) }, column.label);
    return el("th", { scope: "col", "data-label": column.label, class: column.right ? "right" : null }, button);
  }

  show(rows) {
    this.given = rows;
    this.rows = this.sorted ? this.inOrder(rows) : rows;
    this.active = 0;
    this.window.scrollTop = 0;
    const over = rows.length > MOST_ROWS ? ` The first ${MOST_ROWS.toLocaleString("en")} are listed; narrow the filters to see others.` : "";
    this.count.textContent = `${plural(rows.length, "row")}.${over}`;
    this.table.setAttribute("aria-rowcount", rows.length + 1);
    this.render();
  }

  sort(at) {
    const falling = this.sorted && this.sorted.at === at && !this.sorted.falling;
    this.sorted = { at, falling };
    this.heads.forEach((head, n) => {
      if (n === at) head.setAttribute("aria-sort", falling ? "descending" : "ascending");
      else head.removeAttribute("aria-sort");
    });
    this.show(this.given);
    say(`Sorted by ${this.columns[at].label}, ${falling ? "falling" : "rising"}.`);
  }

  inOrder(rows) {
    const { at, falling } = this.sorted;
    const column = this.columns[at];
    const key = column.key || ((row) => inOrder(column.text(row)));
    const keys = Array.from(rows, key);
    const places = Array.from(rows, (_, place) => place);
    const sign = falling ? -1 : 1;
    places.sort((one, other) => (keys[one] < keys[other] ? -sign : keys[one] > keys[other] ? sign : one - other));
    return places.map((place) => rows[place]);
  }

  later() {
    if (this.waiting) return;
    this.waiting = true;
    requestAnimationFrame(() => { this.waiting = false; this.render(); });
  }

  span() {
    const count = Math.min(this.rows.length, MOST_ROWS);
    if (this.printing) return [0, Math.min(count, PRINTED_ROWS), count];
    const first = Math.max(0, Math.floor(this.window.scrollTop / ROW_PX) - 8);
    return [first, Math.min(count, first + Math.ceil(this.window.clientHeight / ROW_PX) + 18), count];
  }

  render() {
    const [first, last, count] = this.span();
    const inside = this.body.contains(document.activeElement);
    const rows = [this.gap(first)];
    for (let at = first; at < last; at += 1) rows.push(this.row(at));
    rows.push(this.printing ? null : this.gap(count - last));
    this.body.replaceChildren(...rows.filter(Boolean));
    if (inside) this.focus();
  }

  gap(count) {
    if (count <= 0) return null;
    const cell = el("td", { colspan: this.columns.length });
    cell.style.height = `${count * ROW_PX}px`;
    return el("tr", { class: "gap", "aria-hidden": "true" }, cell);
  }

  row(at) {
    const row = this.rows[at];
    const cells = this.columns.map((column, n) => {
      const shown = column.node ? column.node(row) : column.text(row);
      if (n) return el("td", { class: column.right ? "right" : null, title: column.node ? null : shown }, shown);
      const inner = this.link ? el("a", { href: this.link(row), tabindex: at === this.active ? 0 : -1 }, el("bdi", null, shown)) : shown;
      return el("th", { scope: "row" }, inner);
    });
    return el("tr", { "aria-rowindex": at + 2, "data-at": at }, cells);
  }

  keyed(event) {
    const page = Math.max(1, Math.floor(this.window.clientHeight / ROW_PX) - 2);
    const steps = { ArrowDown: 1, ArrowUp: -1, PageDown: page, PageUp: -page, Home: -Infinity, End: Infinity };
    if (!(event.key in steps) || !this.rows.length || !this.link) return;
    event.preventDefault();
    const onRow = this.body.contains(document.activeElement);
    const next = onRow || Math.abs(steps[event.key]) > 1 ? this.active + steps[event.key] : this.active;
    this.active = Math.min(Math.max(next, 0), Math.min(this.rows.length, MOST_ROWS) - 1);
    const top = this.active * ROW_PX;
    const room = this.window.clientHeight - 2 * ROW_PX;
    if (top < this.window.scrollTop) this.window.scrollTop = top;
    else if (top > this.window.scrollTop + room) this.window.scrollTop = top - room;
    this.render();
    this.focus();
  }

  focus() {
    const link = this.body.querySelector(`tr[data-at="${this.active}"] a`);
    (link || this.window).focus({ preventScroll: true });
  }

  export() {
    const rows = Array.from(this.rows, (row) => this.columns.map((column) => column.text(row)));
    save(`${this.file || "rows"}.csv`, csv(this.columns.map((column) => column.label), rows));
    say(`${plural(rows.length, "row")} saved.`);
  }

  print(printing) {
    this.printing = printing;
    const more = this.rows.length > PRINTED_ROWS;
    this.count.textContent = `${plural(this.rows.length, "row")}.${printing && more ? ` The first ${PRINTED_ROWS} are printed; all of them can be saved as CSV.` : ""}`;
    this.render();
  }

  close() {
    this.watch.disconnect();
    tables.delete(this);
  }
}

function closeTables() {
  for (const one of tables) one.close();
}

window.addEventListener("beforeprint", () => { for (const one of tables) one.print(true); });
window.addEventListener("afterprint", () => { for (const one of tables) one.print(false); });
