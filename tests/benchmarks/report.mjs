// npm run bench -- report OUT.html [drills=ROWS] [calibration=ROWS] [optimum=ROWS] [copper=ROWS]: what
// the benchmarks left in their files of rows, as one self-contained page with plots.

import { existsSync, writeFileSync } from 'node:fs';
import { claimBins, copperJobTable, groupsOf, placesAt, placeTable } from './copper-tables.mjs';
import { heldRows } from './shares.mjs';
import { BINS, binTable, calibrationBins, drillTable, ratioTable } from './tables.mjs';

const SIZE = 320;
const EDGE = 36;

function plain(text) {
  return String(text).replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;');
}

function tableOf([head, ...lines]) {
  const row = (cells, tag) =>
    `<tr>${cells.map((c) => `<${tag}>${plain(c)}</${tag}>`).join('')}</tr>`;
  return `<table>${row(head, 'th')}${lines.map((line) => row(line, 'td')).join('')}</table>`;
}

/** A square from 0 to 1 both ways, y upward. */
function square(title, xName, yName, inside) {
  const whole = SIZE + 2 * EDGE;
  const place = (x) => EDGE + x * SIZE;
  const marks = [0, 0.25, 0.5, 0.75, 1].map((at) => {
    const x = place(at).toFixed(1);
    const y = place(1 - at).toFixed(1);
    return `<text x="${x}" y="${whole - EDGE + 14}" text-anchor="middle">${at}</text><text x="${EDGE - 6}" y="${y}" text-anchor="end">${at}</text>`;
  });
  return `<svg viewBox="0 0 ${whole} ${whole}" role="img" aria-label="${plain(title)}"><rect x="${EDGE}" y="${EDGE}" width="${SIZE}" height="${SIZE}" class="frame"/>${marks.join('')}<text x="${whole / 2}" y="${whole - 6}" text-anchor="middle">${plain(xName)}</text><text x="12" y="${whole / 2}" text-anchor="middle" transform="rotate(-90 12 ${whole / 2})">${plain(yName)}</text>${inside(place)}</svg>`;
}

function calibrationPlot({ bins }) {
  const most = Math.max(...bins.map(([n]) => n));
  return square(
    'weight said against what came true',
    'weight said',
    'share that was so',
    (place) => {
      const line = `<line x1="${place(0)}" y1="${place(1)}" x2="${place(1)}" y2="${place(0)}" class="ideal"/>`;
      const points = bins.map(([n, said, so]) => {
        if (n === 0) return '';
        const radius = 3 + 7 * Math.sqrt(n / most);
        return `<circle cx="${place(said / n).toFixed(1)}" cy="${place(1 - so / n).toFixed(1)}" r="${radius.toFixed(1)}"><title>${n} weights</title></circle>`;
      });
      return line + points.join('');
    },
  );
}

function calibrationSection(rows) {
  const parts = [
    ['all', 'Every suspect'],
    ['heaviest', 'The heaviest suspect'],
  ].map(([series, title]) => {
    const found = calibrationBins(rows, series);
    const text = `${found.count} weights said in ${rows.length} jobs, expected calibration error ${found.error.toFixed(4)}, ${BINS} bins.`;
    return `<h3>${title}</h3><p>${text}</p>${calibrationPlot(found)}${tableOf(binTable(found.bins))}`;
  });
  return `<h2>Calibration</h2>${parts.join('')}`;
}

/** Bars beside each other, one row for each line. */
function bars(rows, widest) {
  const height = 18;
  const lines = rows.map(({ name, value }, k) => {
    const width = (420 * value) / widest;
    const y = k * height;
    return `<text x="196" y="${y + 13}" text-anchor="end">${plain(name)}</text><rect x="200" y="${y + 3}" width="${width.toFixed(1)}" height="12"/><text x="${(204 + width).toFixed(1)}" y="${y + 13}">${value.toFixed(1)}</text>`;
  });
  return `<svg viewBox="0 0 680 ${rows.length * height + 4}" role="img" aria-label="bars">${lines.join('')}</svg>`;
}

function drillSection(rows) {
  const sorted = [...rows].sort((x, y) => x.board.localeCompare(y.board));
  const table = drillTable(sorted);
  const minutes = table
    .slice(1)
    .map((line) => ({ name: `${line[0]}, ${line[1]}`, value: Number(line[5]) }));
  const widest = Math.max(...minutes.map(({ value }) => value));
  return `<h2>Whole jobs</h2><p>Mean bench minutes of a job, from intake to the last proof.</p>${bars(minutes, widest)}${tableOf(table)}${tableOf(ratioTable(sorted))}`;
}

function optimumSection(rows) {
  const step = 0.02;
  const most = Math.max(...rows.map(({ ratio }) => ratio));
  const groups = Array.from({ length: Math.ceil((most - 1) / step) + 1 }, (_, k) => {
    const from = 1 + k * step;
    const value = rows.filter(
      ({ ratio }) => ratio >= from - 1e-9 && ratio < from + step - 1e-9,
    ).length;
    return { name: `${from.toFixed(2)} to ${(from + step).toFixed(2)}`, value };
  });
  const mean = rows.reduce((sum, { ratio }) => sum + ratio, 0) / rows.length;
  const text = `${rows.length} small cases: minutes of the tool over the best possible, mean ${mean.toFixed(3)}, worst ${most.toFixed(3)}. Cases by ratio:`;
  return `<h2>Steps against the optimum</h2><p>${text}</p>${bars(groups, Math.max(...groups.map(({ value }) => value)))}`;
}

const READINGS = [4, 8, 12, 16];

/** How often the bad part is first, and within the first three, as readings come in: a line each. */
function findingPlot(rows) {
  const [{ scenario, size, chooser }] = rows;
  const most = READINGS[READINGS.length - 1];
  const told = READINGS.map((after) => ({ after, ...placesAt(rows, after) }));
  const title = `${scenario}, ${size} parts, pads by ${chooser}`;
  const inside = (place) => {
    const line = (of, dash) => {
      const points = told.map((at) => `${place(at.after / most)},${place(1 - of(at))}`);
      return `<polyline points="${points.join(' ')}" class="found" stroke-dasharray="${dash}"/>`;
    };
    return line((at) => at.first, '4') + line((at) => at.three, 'none');
  };
  return `<figure><figcaption>${plain(title)}</figcaption>${square(title, `readings, of ${most}`, 'share of trials', inside)}</figure>`;
}

function copperSection(rows) {
  const places = rows.filter(({ chooser }) => chooser !== undefined);
  const jobs = rows.filter(({ rule }) => rule !== undefined);
  const groups = groupsOf(places, (row) => `${row.scenario}/${row.size}/${row.chooser}`);
  const text =
    'Share of trials in which the bad part came first (dashed), or within the first three (full line).';
  const minutes = groupsOf(jobs, (row) => `${row.scenario}, ${row.size} parts, ${row.rule}`).map(
    (own) => ({
      name: `${own[0].scenario}, ${own[0].size}, ${own[0].rule}`,
      value: own.reduce((sum, row) => sum + row.minutes, 0) / own.length,
    }),
  );
  const found =
    places.length === 0
      ? ''
      : `<p>${text}</p><div class="plots">${groups.map(findingPlot).join('')}</div>${tableOf(placeTable(places, READINGS))}<h3>Weights said of the first five suspects</h3>${calibrationPlot({ bins: claimBins(places, READINGS) })}`;
  const played =
    jobs.length === 0
      ? ''
      : `<h3>Whole jobs</h3><p>Mean bench minutes.</p>${bars(minutes, Math.max(...minutes.map(({ value }) => value)))}${tableOf(copperJobTable(jobs))}`;
  return `<h2>Copper</h2>${found}${played}`;
}

const SECTIONS = {
  drills: drillSection,
  calibration: calibrationSection,
  optimum: optimumSection,
  copper: copperSection,
};
const STYLE =
  'body{font:15px/1.5 sans-serif;max-width:60em;margin:2em auto;padding:0 1em;color:#222;background:#fff}table{border-collapse:collapse;margin:1em 0;font-size:13px}td,th{border-bottom:1px solid #ccc;padding:2px 8px;text-align:right}td:first-child,th:first-child{text-align:left}svg{max-width:42em;width:100%;height:auto;font-size:11px}.frame{fill:none;stroke:#888}.found{fill:none;stroke:#27627e;stroke-width:2}.plots{display:flex;flex-wrap:wrap}.plots figure{margin:0;width:20em}.ideal{stroke:#888;stroke-dasharray:4}circle,svg rect:not(.frame){fill:#27627e}';

const [out, ...sources] = process.argv.slice(2);
if (out === undefined || sources.length === 0) {
  console.error('name the page to write and at least one file: report OUT.html drills=ROWS');
  process.exit(2);
}
const sections = sources.map((source) => {
  const [name, ...rest] = source.split('=');
  const file = rest.join('=');
  if (SECTIONS[name] === undefined || !existsSync(file)) {
    console.error(
      `"${source}": name one of ${Object.keys(SECTIONS).join(', ')} and a file that is there`,
    );
    process.exit(2);
  }
  return SECTIONS[name](heldRows(file, () => true));
});
const page = `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Benchmarks of trace-short</title><style>${STYLE}</style><h1>Benchmarks of trace-short</h1>${sections.join('')}</html>\n`;
writeFileSync(out, page);
console.log(`written: ${out}`);
