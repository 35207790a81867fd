/** Parts to get as comma-separated values, for an order: RFC 4180, one row for each thing. */
import { compareNames } from '../words.ts';
import type { InsulatorView, OrderView, RepairView } from './model.ts';

const HEADER = [
  'need',
  'to get',
  'listed',
  'fitted',
  'ordered',
  'likely needed',
  'part number',
  'description',
  'package',
  'designators',
  'why',
];

/** The whole file: a header, then what is sure, then what is worth having in case; lines end in CR LF. */
export function repairCsv(view: RepairView): string {
  const rows = [
    HEADER,
    ...view.get.map((order) => rowOf('renew', order)),
    ...view.inCase.map((order) => rowOf('in case', order)),
    ...view.insulators.map(supplyRow),
  ];
  return rows.map((row) => `${row.map(cell).join(',')}\r\n`).join('');
}

function rowOf(need: string, order: OrderView): string[] {
  const why = new Set(order.parts.flatMap((part) => part.why.map(({ text }) => text)));
  return [
    need,
    String(order.toGet),
    String(order.quantity),
    String(order.fitted),
    String(order.ordered),
    String(Number(order.likely.toFixed(1))),
    order.partNumber ?? '',
    order.what,
    order.package ?? '',
    order.parts
      .map(({ part }) => part)
      .sort(compareNames)
      .join(' '),
    [...why].join('; '),
  ];
}

function supplyRow({ package: pack, between, quantity }: InsulatorView): string[] {
  const count = String(quantity);
  const what = between === undefined ? 'insulator' : `${between} insulator`;
  return ['supply', count, count, '0', '0', count, '', what, pack, '', 'tabs to fasten'];
}

/** A cell that starts like a formula is one to a spreadsheet; an apostrophe before it makes it text. */
function cell(text: string): string {
  const plain = text.replaceAll('\u00a0', ' ');
  const held = /^\s*[=+\-@|%\t\r\n\uff1d\uff0b\uff0d\uff20]/.test(plain) ? `'${plain}` : plain;
  return /[",\r\n']/.test(held) ? `"${held.replaceAll('"', '""')}"` : held;
}
