/** Parts around a failed transistor that took the stress of its failure. */
import type { Board, Part } from '../../board/model.ts';
import type { NeighbourRole } from './model.ts';

export interface Neighbour {
  readonly part: number;
  readonly role: NeighbourRole;
}

/** Names of the pin that controls, and of the pin its drive returns to. */
const CONTROL: readonly string[] = ['G', 'B'];
const RETURN: readonly string[] = ['S', 'E', 'K', 'T1'];

/** A net with more pins than this is a supply or a bus, not one transistor's drive. */
const MOST_DRIVE_PINS = 12;
/** A resistor up to here in the source or emitter lead carried the fault's current, Ω. */
const MOST_SENSE_OHMS = 1;

const CLAMPS: ReadonlySet<string> = new Set(['zener', 'suppressor', 'two-way-suppressor']);
const DIODES: ReadonlySet<string> = new Set(['diode', 'schottky']);
const DRIVERS: ReadonlySet<string> = new Set(['ic', 'optocoupler']);
const TRANSISTORS: ReadonlySet<string> = new Set(['npn', 'pnp', 'n-mosfet', 'p-mosfet']);

/** Whether a part is steered by a gate or base, so that others may suffer with it. */
export function isSteered(board: Board, part: Part): boolean {
  return controlPin(board, part) !== undefined && returnPin(board, part) !== undefined;
}

/** Whether a failed mode lets what the part switches onto its gate or base: `G-D short`. */
export function reachesControl(part: Part, mode: string): boolean {
  const spec = part.kind.modes.find(({ name }) => name === mode);
  return spec?.joins.some((pair) => pair.some((pin) => CONTROL.includes(pin))) ?? false;
}

/** Gate resistor, clamp, driver and current-sense resistor of one transistor, by the circuit. */
export function neighboursOf(board: Board, part: Part): Neighbour[] {
  const control = netOf(board, controlPin(board, part));
  const back = netOf(board, returnPin(board, part));
  if (control === undefined || back === undefined || control === back) return [];
  const found = new Map<number, NeighbourRole>();
  const add = (other: Part, role: NeighbourRole | undefined): void => {
    if (role !== undefined && other.index !== part.index && !found.has(other.index)) {
      found.set(other.index, role);
    }
  };
  if (isDriveNet(board, control)) {
    const far = new Set<number>();
    for (const other of partsOn(board, control)) {
      const role = roleAtControl(board, other, control, back);
      add(other, role);
      if (role !== 'gate resistor') continue;
      for (const net of netsOf(board, other)) if (isDriveNet(board, net)) far.add(net);
    }
    far.add(control);
    for (const net of far)
      for (const other of partsOn(board, net)) add(other, driverRole(board, other, net));
  }
  for (const other of partsOn(board, back)) if (isSense(board, other)) add(other, SENSE);
  return [...found].map(([index, role]) => ({ part: index, role }));
}

const SENSE: NeighbourRole = 'current-sense resistor';

function roleAtControl(
  board: Board,
  other: Part,
  control: number,
  back: number,
): NeighbourRole | undefined {
  const nets = netsOf(board, other);
  const far = nets.find((net) => net !== control);
  if (far === undefined || nets.length !== 2) return undefined;
  const name = other.kind.name;
  const isDiode = DIODES.has(name);
  if (CLAMPS.has(name) || isDiode) {
    if (far === back) return 'gate clamp';
    return isDiode && !isRail(board, far) ? 'turn-off diode' : undefined;
  }
  if (name !== 'resistor' && name !== 'bead') return undefined;
  return far === back || isRail(board, far) ? 'gate pull resistor' : 'gate resistor';
}

/** A transistor steered by the same net is a bank mate; one with another pin there drives it. */
function driverRole(board: Board, other: Part, net: number): NeighbourRole | undefined {
  if (DRIVERS.has(other.kind.name)) return 'driver';
  if (!TRANSISTORS.has(other.kind.name)) return undefined;
  return netOf(board, controlPin(board, other)) === net ? undefined : 'driver transistor';
}

function isSense(board: Board, part: Part): boolean {
  const isSmall = part.ohms !== undefined && part.ohms <= MOST_SENSE_OHMS;
  return part.kind.name === 'resistor' && isSmall && netsOf(board, part).length === 2;
}

function controlPin(board: Board, part: Part): number | undefined {
  return part.pins.length < 3 ? undefined : pinNamed(board, part, CONTROL);
}

function returnPin(board: Board, part: Part): number | undefined {
  return pinNamed(board, part, RETURN);
}

function pinNamed(board: Board, part: Part, names: readonly string[]): number | undefined {
  const known = part.kind.pins.filter((name) => names.includes(name));
  return part.pins.find((pin) => known.includes(board.pins[pin]?.name ?? ''));
}

function isDriveNet(board: Board, net: number): boolean {
  return !isRail(board, net) && (board.nets[net]?.pins.length ?? 0) <= MOST_DRIVE_PINS;
}

function isRail(board: Board, net: number): boolean {
  return board.rails.some(({ plus, minus }) => plus === net || minus === net);
}

function netOf(board: Board, pin: number | undefined): number | undefined {
  return pin === undefined ? undefined : board.pins[pin]?.net;
}

/** The different nets of a part. */
export function netsOf(board: Board, part: Part): number[] {
  return [...new Set(part.pins.map((pin) => board.pins[pin]?.net ?? -1))];
}

/** The different parts on a net. */
export function partsOn(board: Board, net: number): Part[] {
  const numbers = new Set(board.nets[net]?.pins.map((pin) => board.pins[pin]?.part ?? -1));
  return [...numbers].flatMap((part) => board.parts[part] ?? []);
}
