// Medians, repeated timings, memory and tables for the circuit benchmarks.

import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

const LEAST_ROUNDS = 5;
const MOST_ROUNDS = 200;
const BUDGET_MS = 300;

export function median(list) {
  return list.toSorted((a, b) => a - b)[Math.floor(list.length / 2)];
}

/** Milliseconds of one call: the median of as many as a third of a second holds, five at least. */
export function medianMs(call) {
  const times = [];
  let total = 0;
  while (times.length < LEAST_ROUNDS || (total < BUDGET_MS && times.length < MOST_ROUNDS)) {
    const start = performance.now();
    call();
    times.push(performance.now() - start);
    total += times.at(-1);
  }
  return median(times);
}

/** Bytes held by what a call returns, over a few copies where one alone would be lost in the noise. */
export function heapBytes(make, copies = 1) {
  setFlagsFromString('--expose-gc');
  const collect = runInNewContext('gc');
  const held = () => {
    // Buffers of dead arrays are freed after the collection that finds them.
    for (let k = 0; k < 4; k++) collect();
    const { heapUsed, arrayBuffers } = process.memoryUsage();
    return heapUsed + arrayBuffers;
  };
  make();
  const before = held();
  const made = Array.from({ length: copies }, make);
  return (held() - before) / made.length;
}

/** Three digits that count, and no powers of ten. */
export function short(value) {
  if (value === undefined) return '-';
  if (value >= 100) return String(Math.round(value));
  return String(Number(value.toPrecision(3)));
}

/** First column to the left, the others to the right. */
export function tableText(rows) {
  const widths = rows[0].map((_, c) => Math.max(...rows.map((row) => String(row[c]).length)));
  const cell = (text, c) =>
    c === 0 ? String(text).padEnd(widths[c]) : String(text).padStart(widths[c]);
  return rows.map((row) => row.map(cell).join('  ')).join('\n');
}
