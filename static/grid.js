/* Tables that move like a spreadsheet: arrows and Enter go from cell to cell, a block of cells is
   pasted from a spreadsheet, a row is dragged by its handle or moved with Alt and an arrow. */
(() => {
  "use strict";
  const FIELDS = "input:not([type=hidden]), select, textarea";

  const rowsOf = (grid) => [...grid.querySelectorAll("tr")].filter((row) => row.querySelector(`.cell, .add input`));
  const fieldsOf = (row) => [...row.querySelectorAll(FIELDS)].filter((field) => field.offsetParent);

  /* The line below a table, where a row is added to it, is one more row of it. */
  const gridOf = (field) => field.closest("[data-grid]") || field.closest("[data-grid] + .add")?.previousElementSibling;
  const lineBelow = (grid) => grid.nextElementSibling?.matches(".add") ? grid.nextElementSibling.querySelector(FIELDS) : null;

  /* Up and down: the field of the same name in the next row that has one, else the nearest one. */
  function vertical(field, down) {
    const grid = gridOf(field), row = field.closest("tr"), rows = rowsOf(grid);
    const name = field.closest(".cell")?.dataset.field;
    const among = [...(row?.querySelectorAll(`[data-field="${name}"]`) || [])].map((cell) => window.edits.control(cell));
    const own = among.indexOf(field) + (down ? 1 : -1);
    if (name && among[own]) return among[own];
    const at = row ? rows.indexOf(row) : rows.length, ahead = down ? rows.slice(at + 1) : rows.slice(0, at).reverse();
    const middle = (one) => { const box = one.getBoundingClientRect(); return box.left + box.width / 2; };
    for (const next of ahead) {
      const same = name && [...next.querySelectorAll(`[data-field="${name}"]`)];
      if (same && same.length) return window.edits.control(same[down ? 0 : same.length - 1]);
      const fields = fieldsOf(next);
      if (fields.length) {
        const x = middle(field);
        return fields.reduce((best, each) => Math.abs(middle(each) - x) < Math.abs(middle(best) - x) ? each : best);
      }
    }
    return down && row ? lineBelow(grid) : null;
  }

  function sideways(field, right) {
    const fields = fieldsOf(field.closest("tr, .add"));
    return fields[fields.indexOf(field) + (right ? 1 : -1)] || null;
  }

  function go(event, field) {
    if (!field) return;
    event.preventDefault();
    field.focus();
    if (field.select && field.type !== "checkbox") field.select();
  }

  const isText = (field) => field.matches("textarea, input:not([type=checkbox])");
  const atStart = (field) => !isText(field) || (field.selectionStart === 0 && (field.selectionEnd === 0 || isAll(field)));
  const isAll = (field) => field.selectionStart === 0 && field.selectionEnd === field.value.length;
  const atEnd = (field) => !isText(field) || field.selectionEnd === field.value.length;

  /* With Alt, an arrow moves the row, or the line inside a cell, that holds the field or the handle. */
  document.addEventListener("keydown", (event) => {
    if (!event.altKey || !["ArrowUp", "ArrowDown"].includes(event.key) || !event.target.matches) return;
    const place = event.target.closest("[data-row]")?.dataset.row, cell = event.target.closest(".cell");
    if (!document.querySelector(`[data-handle="${place}"][draggable]`) || !event.target.matches(`.handle, ${FIELDS}`)) return;
    event.preventDefault();
    if (cell) window.edits.save(cell);
    window.edits.actOn(place, event.key === "ArrowUp" ? "up" : "down", event.target.id);
  });

  document.addEventListener("keydown", (event) => {
    const field = event.target;
    if (!field.matches || !field.matches(FIELDS) || event.ctrlKey || event.metaKey || event.altKey || event.isComposing) return;
    const cell = field.closest(".cell");
    if (!gridOf(field)) return;
    const isLong = field.matches("textarea"), isChoice = field.matches("select");
    if (event.key === "Escape" && cell && window.edits.isDirty(cell) && !isChoice) {
      field.value = cell.dataset.shown;
      return;
    }
    if (event.key === "Enter" && cell && !(isLong && event.shiftKey)) {
      window.edits.save(cell);
      go(event, vertical(field, !event.shiftKey) || field);
    } else if (event.key === "ArrowDown" && !isChoice && !(isLong && !atEnd(field))) go(event, vertical(field, true));
    else if (event.key === "ArrowUp" && !isChoice && !(isLong && !atStart(field))) go(event, vertical(field, false));
    else if (event.key === "ArrowLeft" && !event.shiftKey && atStart(field)) go(event, sideways(field, false));
    else if (event.key === "ArrowRight" && !event.shiftKey && atEnd(field)) go(event, sideways(field, true));
  });

  /* A block of cells: lines are rows, tabs are columns; a cell in quotes may hold both. What goes
     beyond the table becomes rows; what fits nowhere is told with its words. */
  function blockOf(text) {
    const rows = [[]];
    const cell = /("(?:[^"]|"")*"(?=[\t\n]|$)|[^\t\n]*)(\t|\n|$)/g;
    const whole = text.replace(/\r\n?/g, "\n").replace(/\n$/, "");
    for (let found = cell.exec(whole); found; found = cell.exec(whole)) {
      const isQuoted = /^".*"$/s.test(found[1]);
      rows[rows.length - 1].push(isQuoted ? found[1].slice(1, -1).replace(/""/g, "\"") : found[1]);
      if (!found[2]) break;
      if (found[2] === "\n") rows.push([]);
    }
    return rows;
  }

  const ownCells = (row) => [...row.querySelectorAll(".cell")].filter((cell) => cell.dataset.place === row.dataset.row);

  document.addEventListener("paste", (event) => {
    const field = event.target, text = event.clipboardData ? event.clipboardData.getData("text/plain") : "";
    if (!field.matches || !field.matches(FIELDS) || !/[\t\n]/.test(text.replace(/\n$/, ""))) return;
    const form = field.closest("[data-add][data-fields]"), row = field.closest("[data-row]");
    if (form) { event.preventDefault(); return pasteNew(form, blockOf(text)); }
    const cell = field.closest("[data-grid] .cell, [data-block] .cell");
    if (!cell || !row || cell.dataset.place !== row.dataset.row) return;
    event.preventDefault();
    pasteOver(row, cell, blockOf(text));
  });

  /* From a cell to the right and down, over the rows of the same kind that follow each other. */
  function pasteOver(row, cell, block) {
    const table = row.dataset.row.split("/")[0], rows = [];
    for (let next = row; next && (next.dataset.row || "").startsWith(`${table}/`); next = next.nextElementSibling) rows.push(next);
    const column = ownCells(row).indexOf(cell), cells = [], left = [];
    block.slice(0, rows.length).forEach((line, at) => {
      const there = ownCells(rows[at]).slice(column);
      line.forEach((text, n) => {
        if (!there[n]) return left.push(text);
        const { place, field, began } = there[n].dataset;
        cells.push([place, field, text, began]);
      });
    });
    const names = ownCells(row).slice(column).map((each) => each.dataset.field);
    const form = formFor(rows[rows.length - 1], table), more = block.slice(rows.length);
    if (!form) left.push(...more.flat());
    send(cells, form ? newRows(table, form.dataset.below, more, names, left) : [], left);
  }

  /* Where a row is added to these: in the same part of the table, after it or else before it; rows
     inside a cell stay in it. */
  function formFor(row, table) {
    const wanted = `[data-add="${table}"]`, here = row.closest(`[data-adds="${table}"]`), cell = row.closest("td, th");
    const follows = (form) => row.compareDocumentPosition(form) & Node.DOCUMENT_POSITION_FOLLOWING;
    const near = [...(cell || row.closest("tbody") || document).querySelectorAll(wanted)].filter((form) => !row.contains(form));
    const far = cell ? [] : [...document.querySelectorAll(wanted)];
    return here || near.find(follows) || near.reverse()[0] || far.find(follows) || null;
  }

  function newRows(table, below, lines, names, left) {
    return lines.filter((line) => line.some((text) => text.trim())).map((line) => {
      left.push(...line.slice(names.length));
      const texts = Object.fromEntries(line.slice(0, names.length).map((text, n) => [names[n], text]));
      return { table, below, texts };
    });
  }

  function pasteNew(form, block) {
    const { add: table, below, fields } = form.dataset, left = [];
    const isList = block.every((line) => line.length === 1);
    if (isList) send([], block.filter((line) => line[0].trim()).map(([name]) => ({ table, below, name, texts: {} })), left);
    else send([], newRows(table, below, block, fields.split(","), left), left);
  }

  function send(cells, rows, left) {
    const beyond = left.filter((text) => text.trim()).map((text) => `“${text.trim()}”`);
    window.edits.step("paste", { block: JSON.stringify({ cells, rows }) }, () => {
      if (beyond.length) window.edits.loud(`Beyond the table, so not pasted: ${beyond.slice(0, 12).join(", ")}${beyond.length > 12 ? ` and ${beyond.length - 12} more` : ""}.`);
    });
  }

  /* A row is dragged by its handle onto another of its table; the buttons of its menu do the same. */
  let dragged = null;
  document.addEventListener("dragstart", (event) => {
    const handle = event.target.closest && event.target.closest("[data-handle]");
    if (!handle) return;
    dragged = handle.closest("[data-row]");
    event.dataTransfer.effectAllowed = "move";
    event.dataTransfer.setData("text/plain", dragged.dataset.row);
  });
  function target(event) {
    let row = dragged && event.target.closest && event.target.closest("[data-row]");
    while (row && row.parentElement !== dragged.parentElement) row = row.parentElement.closest("[data-row]");
    const isLike = row && row !== dragged && row.dataset.row.split("/")[0] === dragged.dataset.row.split("/")[0];
    return isLike ? row : null;
  }
  function unmark() {
    document.querySelectorAll(".is-target").forEach((row) => row.classList.remove("is-target"));
  }
  document.addEventListener("dragover", (event) => {
    const row = target(event);
    unmark();
    if (!row) return;
    event.preventDefault();
    row.classList.add("is-target");
  });
  document.addEventListener("drop", (event) => {
    const row = target(event);
    unmark();
    if (!row) return;
    event.preventDefault();
    window.edits.step("move", { place: dragged.dataset.row, onto: row.dataset.row, by: 0 });
  });
  document.addEventListener("dragend", () => { unmark(); dragged = null; });
})();
