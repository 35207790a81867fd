/** The way that conducted, as a small circuit: what failed on it, what was lifted, what was renewed. */
import type { Board } from '../../board/model.ts';
import { formatOhms } from '../../board/units.ts';
import type { BoardState } from '../../circuit/state.ts';
import type { RecheckPart } from '../../job/recheck.ts';
import type { ReplacedPart } from '../../job/work-done.ts';
import type { ConductingWay, WayLink } from '../../steps/explain-pair.ts';
import { padPairs } from '../../steps/proof.ts';
import { faultText, netName, partName, partNames, pinName } from '../names.ts';
import { counted, percent, runsOf } from '../words.ts';
import type { Drawing, DrawnElement, Standing } from './blocks.ts';

/** A drawing with the same in words. */
export interface WayView {
  readonly caption: string;
  readonly drawing: Drawing;
  readonly says: readonly string[];
  /** Parts shown to have failed that are on it. */
  readonly failed: readonly string[];
}

export interface WayFacts {
  readonly board: Board;
  /** The state of the board in which the way conducted. */
  readonly state: BoardState;
  readonly replaced: readonly ReplacedPart[];
  readonly handled: readonly RecheckPart[];
  /** By pin: the event that lifted it, and the one that put it back. */
  readonly lifts: ReadonlyMap<number, { readonly event: number; readonly back?: number }>;
}

/** More would be too small to read on paper. */
const MOST_ELEMENTS = 8;
/** A way this much lighter than the heaviest is not drawn. */
const LIGHT_SHARE = 0.1;

/** Draws the ways that conducted between two nets; undefined when there is nothing to draw. */
export function viewWays(
  facts: WayFacts,
  ways: readonly Pick<ConductingWay, 'links' | 'weight'>[],
  caption: string,
): WayView | undefined {
  const { links: shown, left } = chosen(facts, ways);
  if (shown.length === 0) return undefined;
  const nets = netOrder(shown);
  const stubs = liftedStubs(facts, nets);
  const rows = [...stubs.flatMap(({ above }) => above), ...nets, ...stubs.flatMap((s) => s.below)];
  const place = (net: number): number => rows.indexOf(net);
  const drawn = [
    ...shown.map((link) => drawLink(facts, link)),
    ...mates(facts, shown),
    ...stubs.map(({ element }) => element),
  ];
  const says = drawn.map(
    ({ from, to, say }) => `${netName(facts.board, from)} to ${netName(facts.board, to)}: ${say}`,
  );
  return {
    caption,
    drawing: {
      nets: rows.map((net) => netName(facts.board, net)),
      elements: drawn.map(({ from, to, say: _say, ...shown }) => ({
        ...shown,
        from: place(from),
        to: place(to),
      })),
    },
    failed: drawn.flatMap(({ standing, lines }) =>
      standing === 'failed' ? lines.slice(0, 1) : [],
    ),
    says: left > 0 ? [...says, `and ${counted(left, 'lighter way')}, not drawn`] : says,
  };
}

interface Drawn extends Pick<DrawnElement, 'standing' | 'lines' | 'gap'> {
  readonly from: number;
  readonly to: number;
  readonly say: string;
}

/** A look tells that a part failed, not that it conducted. */
function isShownShort({ ground }: ReplacedPart): boolean {
  return ground.why === 'own legs' || ground.why === 'its work cleared';
}

type Way = Pick<ConductingWay, 'links' | 'weight'>;

/** Whole ways, the heaviest first, as long as they fit one drawing; and how many did not. */
function chosen(
  facts: WayFacts,
  ways: readonly Way[],
): { readonly links: readonly WayLink[]; readonly left: number } {
  const heavy = ways.filter(({ weight }) => weight >= LIGHT_SHARE * (ways[0]?.weight ?? 0));
  let links: WayLink[] = [];
  let taken = 0;
  for (const way of heavy) {
    const more = merged(facts, [...heavy.slice(0, taken), way]);
    if (taken > 0 && more.length > MOST_ELEMENTS) break;
    links = more;
    taken += 1;
  }
  return { links, left: heavy.length - taken };
}

/** Modes of one part between the same nets are one element to a person, told by the likeliest. */
function merged({ replaced }: WayFacts, ways: readonly Way[]): WayLink[] {
  const failed = new Set(replaced.filter(isShownShort).map(({ part }) => part));
  const byKey = new Map<string, Map<string, WayLink>>();
  for (const link of ways.flatMap((way) => way.links)) {
    // Where one of several alike turned out to be it, the others were not.
    const own = link.what === 'healthy' ? [] : link.parts.filter((part) => failed.has(part));
    const parts = own.length > 0 ? own : link.parts;
    const ends = [link.from, link.to].sort((a, b) => a - b);
    const key = `${link.what} ${parts.join(',')} ${ends.join('-')}`;
    const modes = byKey.get(key) ?? new Map<string, WayLink>();
    byKey.set(key, modes.set(link.mode ?? '', { ...link, parts }));
  }
  return [...byKey.values()].flatMap((modes) => {
    const links = [...modes.values()].sort((x, y) => y.weight - x.weight);
    const weight = Math.min(1, sumOf(links.map((link) => link.weight)));
    return links.slice(0, 1).map((link) => ({ ...link, weight }));
  });
}

function sumOf(numbers: readonly number[]): number {
  return numbers.reduce((sum, each) => sum + each, 0);
}

/** From the one end to the other; a net of a second way stands behind the one it is reached from. */
function netOrder(links: readonly WayLink[]): number[] {
  const nets: number[] = [];
  for (const { from, to } of links) {
    if (nets.length === 0) nets.push(from);
    if (!nets.includes(from)) nets.push(from);
    if (!nets.includes(to)) nets.splice(nets.indexOf(from) + 1, 0, to);
  }
  return nets;
}

function drawLink(facts: WayFacts, link: WayLink): Drawn {
  const { board, replaced, handled } = facts;
  const { from, to, what, parts, mode = '', ohms } = link;
  if (what === 'healthy' || what === 'listed link') {
    const name = what === 'healthy' ? runsOf(partNames(board, parts), 3) : 'a link you named';
    const text = formatOhms(ohms);
    return { from, to, standing: 'healthy', lines: [name, text], say: `${name}, ${text}` };
  }
  const whole = faultText(board, { what, parts, mode, nets: [from, to] });
  const [part] = parts;
  const found = replaced.find(
    (one) => isShownShort(one) && parts.length === 1 && one.part === part,
  );
  const standing: Standing = found === undefined ? 'suspect' : 'failed';
  const off = handled.find((one) => parts.length === 1 && one.part === part);
  const done =
    found !== undefined
      ? `replaced, event ${found.event}`
      : off?.fate === 'off the board'
        ? `taken off, event ${off.since}`
        : '';
  const name = parts.length === 0 ? what : runsOf(partNames(board, parts), 6);
  const sure = found === undefined ? `suspect, ${percent(link.weight)}` : 'failed';
  const head = parts.length > 1 ? `one of ${name}` : name;
  const lines = [head, mode, done === '' ? sure : done].filter(Boolean);
  const say = [whole, sure, done].filter(Boolean).join(', ');
  return { from, to, standing, lines, say };
}

/** Parts beside a failed one, between the same nets, that were renewed with it. */
function mates({ board, replaced }: WayFacts, links: readonly WayLink[]): Drawn[] {
  const faults = links.filter(({ what, parts }) => what === 'part' && parts.length > 0);
  const drawn = new Set(links.flatMap(({ parts }) => parts));
  const seen = new Set<string>();
  return faults.flatMap(({ from, to }): Drawn[] => {
    const key = [from, to].sort((a, b) => a - b).join('-');
    if (seen.has(key)) return [];
    seen.add(key);
    const own = replaced.filter(({ part, failed }) => {
      const known = board.parts[part];
      if (failed || drawn.has(part) || known === undefined) return false;
      return padPairs(board, known).some(
        (pair) => [...pair].sort((a, b) => a - b).join('-') === key,
      );
    });
    if (own.length === 0) return [];
    const name = runsOf(
      own.map(({ part }) => partName(board, part)),
      3,
    );
    const events = [...new Set(own.map(({ event }) => event))].join(', ');
    const lines = [name, 'beside it', `renewed, event ${events}`];
    return [
      {
        from,
        to,
        standing: 'renewed',
        lines,
        say: `${name}, beside it, renewed, event ${events}`,
      },
    ];
  });
}

interface Stub {
  readonly element: Drawn;
  readonly above: readonly number[];
  readonly below: readonly number[];
}

/** Legs in the air at the first or last net, which kept other copper out of the reading. */
function liftedStubs({ board, state, lifts }: WayFacts, nets: readonly number[]): Stub[] {
  const ends = [nets[0], nets.at(-1)];
  const seen = new Set(nets);
  const stubs: Stub[] = [];
  for (const pin of state.lifted) {
    const known = board.pins[pin];
    const other = board.parts[known?.part ?? -1]?.pins.find((one) => one !== pin);
    const [near, far] = [board.pins[other ?? -1]?.net, known?.net];
    if (known === undefined || near === undefined || far === undefined || stubs.length === 2)
      continue;
    const [inside, outside] = ends.includes(near) ? [near, far] : [far, near];
    if (!ends.includes(inside) || seen.has(outside)) continue;
    seen.add(outside);
    stubs.push({
      element: liftedElement(board, pin, { inside, outside }, lifts),
      above: inside === nets[0] ? [outside] : [],
      below: inside === nets[0] ? [] : [outside],
    });
  }
  return stubs;
}

function liftedElement(
  board: Board,
  pin: number,
  nets: { readonly inside: number; readonly outside: number },
  lifts: WayFacts['lifts'],
): Drawn {
  const part = partName(board, board.pins[pin]?.part ?? -1);
  const { event, back } = lifts.get(pin) ?? {};
  const lifted = `${pinName(board, pin)} lifted${event === undefined ? '' : `, event ${event}`}`;
  const after = back === undefined ? 'not put back' : `put back, event ${back}`;
  return {
    from: nets.inside,
    to: nets.outside,
    standing: 'lifted',
    gap: board.pins[pin]?.net === nets.outside ? 'to' : 'from',
    lines: [part, lifted, after],
    say: `${part}, ${lifted}, ${after}`,
  };
}
