import type { Diagnostic, Place } from './diagnostic.ts';
import type { Board, Net, Part } from './model.ts';
import { nearTwins } from './near-twins.ts';

/**
 * What is odd about a board that its file allows: likely slips of the person who wrote it down.
 * In file order; places give the line only.
 */
export function boardWarnings(board: Board): Diagnostic[] {
  const twins = new Map(nearTwins(board.nets));
  return [
    ...board.parts.flatMap((part) => oneNetPart(board, part)),
    ...board.nets.filter((net) => !twins.has(net)).flatMap((net) => onePinNet(board, net)),
    ...bareRails(board),
    ...[...twins].map(([slip, meant]) => likelySlip(board, slip, meant)),
  ].sort((a, b) => (a.place?.line ?? 0) - (b.place?.line ?? 0));
}

function warning(
  board: Board,
  line: number,
  code: string,
  message: string,
  hint?: string,
): Diagnostic {
  const place: Place = { file: board.file, line, column: 1, endColumn: 2 };
  return { code, severity: 'warning', message, place, ...(hint === undefined ? {} : { hint }) };
}

function oneNetPart(board: Board, part: Part): Diagnostic[] {
  const nets = new Set(part.pins.map((pin) => board.pins[pin]?.net));
  if (part.pins.length < 2 || nets.size > 1 || MAY_STAND_ALONE.has(part.kind.name)) return [];
  const net = board.nets[[...nets][0] ?? -1]?.name ?? '';
  if (part.kind.link) {
    const message = `jumper "${part.name}" has both ends on net "${net}"`;
    return [warning(board, part.line, 'JUMPER_ON_ONE_NET', message, 'it joins nothing')];
  }
  const message = `all pins of "${part.name}" are on net "${net}"`;
  const hint = 'no reading between nets can show anything about it';
  return [warning(board, part.line, 'PART_ON_ONE_NET', message, hint)];
}

/** Parts that may be the only one on a net, or sit on one net with all their pins. */
const MAY_STAND_ALONE = new Set(['test-point', 'mechanical', 'connector']);

/** Names people and programs give to pads that go nowhere, and a map to those not read yet. */
const NO_CONNECT = /^(?:n\/?c|no[-_ ]?connect|unconnected|unused|unread|dnc)(?![a-z])/i;

function onePinNet(board: Board, net: Net): Diagnostic[] {
  if (net.pins.length !== 1 || NO_CONNECT.test(net.name)) return [];
  const pin = board.pins[net.pins[0] ?? -1];
  const part = board.parts[pin?.part ?? -1];
  if (pin === undefined || part === undefined || MAY_STAND_ALONE.has(part.kind.name)) return [];
  const message = `net "${net.name}" has one pin only, ${part.name}.${pin.name}`;
  const hint = 'a slip in the name, or a pin that goes nowhere (then call the net NC_…)';
  return [warning(board, net.line, 'NET_WITH_ONE_PIN', message, hint)];
}

function bareRails(board: Board): Diagnostic[] {
  const pairs = new Set<string>();
  for (const part of board.parts) {
    if (part.kind.value !== 'farads') continue;
    const [a = -1, b = -1] = part.pins.map((pin) => board.pins[pin]?.net ?? -1);
    pairs.add(`${a}-${b}`);
    pairs.add(`${b}-${a}`);
  }
  return board.rails
    .filter(({ plus, minus }) => !pairs.has(`${plus}-${minus}`))
    .map((rail) => {
      const plus = board.nets[rail.plus];
      const message = `rail "${rail.name}" has no capacitor from ${plus?.name} to ${board.nets[rail.minus]?.name}`;
      return warning(board, plus?.line ?? 1, 'RAIL_WITHOUT_CAPACITOR', message);
    });
}

function likelySlip(board: Board, slip: Net, meant: Net): Diagnostic {
  const message = `net "${slip.name}" is spelt much like "${meant.name}"`;
  return warning(board, slip.line, 'NEAR_TWIN', message, 'are they meant to be one net?');
}
