import type { Net } from './model.ts';

/** A net with more pins than this was meant; a slip of the pen is made once or twice. */
const MOST_PINS_OF_A_SLIP = 2;

/**
 * Pairs of nets, slip and likely original: the first has one pin and the second more, and the
 * names differ by one letter added, left out, changed or swapped. Differences of case and
 * punctuation alone count with two pins as well.
 *
 * Names that differ in a digit only (`OUT1`, `OUT2`) or in a short piece at their end (`OUT_U`,
 * `OUT_V`) are how nets are told apart on purpose, and names a program made up (`Net-(C3-Pad1)`)
 * hold no slips; both are left alone.
 */
export function nearTwins(nets: readonly Net[]): [Net, Net][] {
  const byForm = new Map<string, Net[]>();
  for (const net of nets) {
    if (/[($]/.test(net.name)) continue;
    for (const form of forms(net.name)) {
      const group = byForm.get(form);
      if (group) group.push(net);
      else byForm.set(form, [net]);
    }
  }
  const twins = new Map<Net, Net>();
  for (const group of byForm.values()) {
    for (const small of group) {
      if (small.pins.length > MOST_PINS_OF_A_SLIP || twins.has(small)) continue;
      const big = group.find((net) => isOriginal(small, net));
      if (big) twins.set(small, big);
    }
  }
  return [...twins];
}

function isOriginal(small: Net, big: Net): boolean {
  return big !== small && big.pins.length > small.pins.length && isSlip(small, big);
}

/**
 * Keys such that two names one slip apart share one: the name without punctuation and case, and
 * that with each of its letters left out. Keeps the search linear in the number of nets.
 */
function forms(name: string): Set<string> {
  const plain = name.toLowerCase().replace(/[^\p{L}\p{N}+-]/gu, '');
  const all = new Set([plain]);
  if (plain.length > 40) return all;
  for (let i = 0; i < plain.length; i++) all.add(plain.slice(0, i) + plain.slice(i + 1));
  return all;
}

function isSlip(small: Net, big: Net): boolean {
  const first = small.name.toLowerCase();
  const second = big.name.toLowerCase();
  if (first.replace(/\d+/g, '#') === second.replace(/\d+/g, '#')) return first === second;
  if (digitsOf(first) !== digitsOf(second)) return false;
  if (bare(first) === bare(second)) return true;
  // Short names are near each other by nature (`SN_U`, `SH_U`).
  if (small.pins.length > 1 || Math.max(first.length, second.length) < 5) return false;
  return !differInSuffix(first, second);
}

function digitsOf(name: string): string {
  return name.replace(/\D+/g, ' ').trim();
}

/** Without the marks that join words; a sign at the end is a name's own (`CAN+`, `CAN-`). */
function bare(name: string): string {
  return name.replace(/[^\p{L}\p{N}](?=.)/gu, '');
}

/** A last letter more or less in a name this long is a slip; in a short one it tells nets apart. */
const LONG_NAME = 9;

/** `OUT_U` and `OUT_V`, `SW` and `SW_A`, `GATEA` and `GATEB`: told apart on purpose by their end. */
function differInSuffix(a: string, b: string): boolean {
  const [headA, lastA] = splitLast(a);
  const [headB, lastB] = splitLast(b);
  if (headA === headB && lastA.length <= 2 && lastB.length <= 2) return true;
  if (a.length === b.length) return a.slice(0, -1) === b.slice(0, -1);
  const [short, long] = a.length < b.length ? [a, b] : [b, a];
  return long.startsWith(short) && long.length < LONG_NAME;
}

/** A name's last piece behind `_`, `-`, `.` or `/`, and all before it. */
function splitLast(name: string): [string, string] {
  const at = Math.max(...['_', '-', '.', '/'].map((mark) => name.lastIndexOf(mark)));
  return at <= 0 ? [name, ''] : [name.slice(0, at), name.slice(at + 1)];
}
