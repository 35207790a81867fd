import type { Net } from './model.ts';

/** A net with more pins than this was meant; a slip of the pen is made once or twice. */
const MOST_PINS_OF_A_SLIP = 2;

/**
 * Pairs of nets, slip and likely original: the first has one or two pins, the second more, and
 * the names differ by one letter added, left out, changed or swapped, or by case and punctuation.
 *
 * Names that differ in a digit only (`OUT1`, `OUT2`) or in a lone letter at their end (`OUT_U`,
 * `OUT_V`) are how nets are told apart on purpose, and are left alone.
 */
export function nearTwins(nets: readonly Net[]): [Net, Net][] {
  const byForm = new Map<string, Net[]>();
  for (const net of nets) {
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
  // Short names are near each other by nature (`SN_U`, `SH_U`).
  const length = Math.max(first.length, second.length);
  if (length < (small.pins.length === 1 ? 4 : 7)) return false;
  return !differInSuffix(first, second);
}

function digitsOf(name: string): string {
  return name.replace(/\D+/g, ' ').trim();
}

/** `OUT_U` and `OUT_V`, `SW` and `SW_A`: told apart on purpose by their last piece or sign. */
function differInSuffix(a: string, b: string): boolean {
  const stem = (name: string): string =>
    name.replace(/(?:[_\-./+]?[a-z]|[_\-./+][a-z0-9]*|[+-])$/, '');
  return stem(a) === stem(b) || stem(a) === b || a === stem(b);
}
