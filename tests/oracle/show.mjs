// The comparison for people: a table per board, a line per failure, a deck that reproduces it.

import { writeFileSync } from 'node:fs';
import { pointLines, TRIES } from './simulator.mjs';

const HEAD = [
  'mode',
  'pairs',
  'a value',
  'OL by both',
  'OL by one',
  'beeps',
  'worst ratio',
  'worst mV',
  'failed',
  'µs first',
  'µs again',
];

export function tableText({ name, board }, { results, times }, meter) {
  const rows = Object.keys(meter.drives).map((mode) =>
    modeRow(
      mode,
      results.filter((result) => result.mode === mode),
      meter,
    ),
  );
  const { pointMs, processMs } = times;
  const title =
    `${name}: ${board.parts.length} parts, ${board.nets.length} nets; ngspice ` +
    `${pointMs.toFixed(2)} ms an operating point, ${processMs.toFixed(0)} ms a process with one`;
  return [title, ...aligned([HEAD, ...rows])].join('\n');
}

function modeRow(mode, results, meter) {
  const over = (each) => each.kind === 'over';
  const count = (test) => results.filter(test).length;
  const beeps = ({ value }) => mode === 'continuity' && value < meter.beepOhms;
  const worst = (key) => Math.max(0, ...results.map((result) => result[key] ?? 0));
  return [
    mode,
    results.length,
    count(({ ratio }) => ratio !== undefined),
    count(({ nominal, shown }) => over(nominal) && over(shown)),
    count(({ nominal, shown }) => over(nominal) !== over(shown)),
    mode === 'continuity' ? count(({ nominal }) => beeps(nominal)) : '-',
    worst('ratio').toExponential(1),
    (worst('volts') * 1e3).toPrecision(2),
    count(({ agrees }) => !agrees),
    results[0].micros.first.toFixed(1),
    results[0].micros.again.toFixed(1),
  ].map(String);
}

function aligned(rows) {
  const widths = rows[0].map((_, c) => Math.max(...rows.map((row) => row[c].length)));
  return rows.map((row) =>
    row.map((cell, c) => (c === 0 ? cell.padEnd(widths[c]) : cell.padStart(widths[c]))).join('  '),
  );
}

export function failureText(name, board, { mode, sight, nominal, shown, state }) {
  const net = (index) => board.nets[index].name;
  return (
    `${name}, ${mode}, ${net(sight.red)} ${net(sight.black)}: ngspice ${said(nominal)}, ` +
    `the program ${said(shown)}${stateText(board, state)}`
  );
}

function said({ kind, value, amps }) {
  if (kind === 'over') return 'OL';
  if (!Number.isFinite(value)) return 'found no operating point';
  return `${value.toPrecision(6)} ${kind === 'volts' ? 'V' : 'Ω'} at ${amps} A`;
}

function stateText(board, { off, lifted, openParts, openPins, added }) {
  const part = (index) => board.parts[index].name;
  const pin = (index) => `${part(board.pins[index].part)}.${board.pins[index].name}`;
  const net = (index) => board.nets[index].name;
  const texts = [
    ...off.map((each) => `${part(each)} off`),
    ...lifted.map((each) => `${pin(each)} lifted`),
    ...openParts.map((each) => `${part(each)} open`),
    ...openPins.map((each) => `${pin(each)} off its pad`),
    ...added.map(({ a, b, ohms }) => `${ohms} Ω from ${net(a)} to ${net(b)}`),
  ];
  return texts.length === 0 ? '' : ` (${texts.join(', ')})`;
}

/** Writes a deck that prints the volts at every current of the mode. */
export function reproduce(file, name, board, result, meter) {
  const { deck, mode } = result;
  const told = `* ${failureText(name, board, result)}`.replaceAll('Ω', 'ohm');
  const ranges = deck === undefined ? [] : meter.drives[mode].ranges;
  const script = ranges.flatMap(({ amps, ohms }) =>
    pointLines(amps, deck.at, `at ${amps} A, a range up to ${ohms} ohm:`, TRIES[0]),
  );
  const [title, ...rest] = deck?.lines ?? ['* no element leads from red to black', 'R1 1 0 1'];
  const text = [title, told, ...rest, '.control', 'set numdgt=12', ...script];
  writeFileSync(file, [...text, '.endc', '.end', ''].join('\n'));
}
