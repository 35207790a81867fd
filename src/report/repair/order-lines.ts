/** Parts to get, by thing to order. */
import type { Style } from '../style.ts';
import { compareNames, listOf, percent, runsOf } from '../words.ts';
import { labelled, wrap } from '../wrap.ts';
import type { InsulatorView, OrderPartView, OrderView, RepairView } from './model.ts';

/** Columns that the quantities take up. */
const INDENT = 8;

export function orderLines({ get: orders, insulators }: RepairView, style: Style): string[] {
  if (orders.length + insulators.length === 0) return [];
  return [
    style.palette.strong('Parts to get'),
    ...orders.flatMap((order) => [...headLines(order, style), ...partLines(order, style)]),
    ...insulators.flatMap((each) => insulatorLines(each, style)),
  ];
}

/** The same for what is only suspected; a part that was tested and stays is told so. */
export function inCaseLines(orders: readonly OrderView[], style: Style): string[] {
  if (orders.length === 0) return [];
  return [
    style.palette.strong('In case: suspected only, or to be tested'),
    ...orders.flatMap((order) => [...headLines(order, style), ...partLines(order, style)]),
    ...wrap('Tick a part that tests good and stays: tick PART tested.', style.width).map(
      style.palette.quiet,
    ),
  ];
}

function insulatorLines(
  { package: pack, between, quantity }: InsulatorView,
  style: Style,
): string[] {
  const kind = between === undefined ? '' : `${between} `;
  const grease = between === 'pad' ? '' : ', grease for mica';
  const text = `${kind}${quantity === 1 ? 'insulator' : 'insulators'} for ${pack}, shoulder washers where screwed${grease}.`;
  return labelled(`${String(quantity).padStart(4)} ×`, text, INDENT, style.width);
}

function headLines(order: OrderView, style: Style): string[] {
  const { partNumber, what, package: pack, newOnly } = order;
  const name = [partNumber ?? '', what, pack ?? ''].filter(Boolean).join(', ');
  const readOff =
    order.quantity > 1 ? 'read it off each old one, they may differ' : 'read it off the old one';
  const missing =
    order.missing.length === 0 ? '' : ` (${listOf(order.missing)} not known: ${readOff})`;
  const only = newOnly === undefined ? '' : ` New only: ${newOnly}.`;
  const program = order.mayHoldProgram ? ' It may hold a program that a new one lacks.' : '';
  const text = `${name}${missing}.${progress(order)}${likelyText(order)}${only}${program}`;
  return labelled(`${String(order.quantity).padStart(4)} ×`, text, INDENT, style.width);
}

/** Of many suspects few are at fault; it is no use to order all of them. */
function likelyText({ toGet, likely }: OrderView): string {
  if (likely <= 0) return '';
  if (likely < 0.5) return ' Unlikely to be needed.';
  const count = Math.max(1, Math.ceil(likely - 0.05));
  return count < toGet ? ` About ${count} likely to be needed.` : '';
}

function progress({ quantity, fitted, ordered, stay, toGet }: OrderView): string {
  if (toGet === quantity) return '';
  const texts = [
    ...(fitted > 0 ? [`${fitted} fitted`] : []),
    ...(ordered > 0 ? [`${ordered} ordered`] : []),
    ...(stay > 0 ? [`${stay} tested, ${stay === 1 ? 'stays' : 'stay'}`] : []),
    ...(toGet > 0 ? [`${toGet} to get`] : []),
  ];
  return ` ${listOf(texts)}.`;
}

/** Places with the same state and the same reasons stand in one row. */
function partLines(order: OrderView, style: Style): string[] {
  const rows = new Map<string, OrderPartView[]>();
  for (const part of order.parts) {
    const key = `${part.state}|${reasonsOf(part)}`;
    const held = rows.get(key);
    if (held === undefined) rows.set(key, [part]);
    else held.push(part);
  }
  return [...rows.values()].flatMap((parts) => {
    const [first] = parts;
    if (first === undefined) return [];
    const names = runsOf(parts.map(({ part }) => part).sort(compareNames), 12);
    const isDone = first.state === 'fitted' || first.state === 'tested, stays';
    const box = isDone ? '[x]' : '[ ]';
    const state = first.state === 'to get' ? '' : `, ${first.state}`;
    const text = `${names}${state}: ${reasonsOf(first)}`;
    const lines = labelled(`    ${box}`, text, INDENT, style.width);
    return isDone ? lines.map(style.palette.quiet) : lines;
  });
}

function reasonsOf({ why, weight, alike, state }: OrderPartView): string {
  const texts = why.map(({ text }) => text);
  const isSuspect = state !== 'fitted' && weight > 0 && !why.some((each) => each.why === 'failed');
  return [
    ...texts,
    ...(isSuspect ? [`may have failed, ${percent(weight)}`] : []),
    ...(alike.length > 1 ? [`alike so far: ${runsOf(alike, 8)}`] : []),
  ].join('; ');
}
