import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../../src/board/load.ts';
import { partListOf } from '../../../src/board/part-list/from-board.ts';
import type { PartList } from '../../../src/board/part-list/part-list.ts';
import { readList } from '../../../src/board/part-list/read-list.ts';
import { COMMON_HANDHELD } from '../../../src/circuit/meter.ts';
import { mappedBoardText } from '../../../src/job/mapping/board-text.ts';
import { mappedNets } from '../../../src/job/mapping/nets.ts';
import { type MapEvent, parseMapSay, printMapSay } from '../../../src/job/mapping/say.ts';
import { MapSession } from '../../../src/job/mapping/session.ts';

/** A supply in miniature: fuse in, choke out, a transistor, and capacitors on both sides. */
const PINS = `part,pin,x,y,value,footprint
J1,1,0,0,,
J1,2,0,5,,
F1,1,5,0,2A,
F1,2,8,0,2A,
C1,1,10,0,100n,C_0805
C1,2,10,3,100n,C_0805
Q1,1,20,0,2N7002,SOT-23
Q1,2,20,2,2N7002,SOT-23
Q1,3,22,1,2N7002,SOT-23
L1,1,25,0,10u,
L1,2,28,0,10u,
C2,1,30,0,100n,C_0805
C2,2,30,3,100n,C_0805
R1,1,18,5,10k,R_0805
R1,2,18,7,10k,R_0805
`;
const TRUTH: Readonly<Record<string, string>> = {
  'J1.1': 'IN',
  'F1.1': 'IN',
  'F1.2': 'BUS',
  'C1.1': 'BUS',
  'C1.2': 'GND',
  'J1.2': 'GND',
  'Q1.3': 'BUS',
  'Q1.2': 'SW',
  'L1.1': 'SW',
  'L1.2': 'OUT',
  'C2.1': 'OUT',
  'C2.2': 'GND',
  'Q1.1': 'GATE',
  'R1.1': 'GATE',
  'R1.2': 'OUT',
};
const LINKS: readonly (readonly [string, string, string])[] = [
  ['F1', 'IN', 'BUS'],
  ['L1', 'SW', 'OUT'],
];

const list = readList(PINS, 'pins.csv');

/** Plays on until nothing is left to ask, with a meter that hears through parts not lifted. */
function playOn(session: MapSession, most = 1000): void {
  let n = session.events.at(-1)?.n ?? 1;
  for (let answers = 0; answers < most; answers++) {
    const sweep = session.next();
    if (sweep === undefined) return;
    const names = sweep.touch.map(({ points }) => points.map((point) => nameOf(session, point)));
    const hold = nameOf(session, sweep.hold);
    const at = names.findIndex((points) => points.some((point) => beeps(session, hold, point)));
    n += 1;
    const touch = at < 0 ? names : names.slice(0, at + 1);
    session.take({ n, say: { do: 'touch', hold, touch, beeps: at >= 0 } });
  }
}

function nameOf(session: MapSession, point: number): string {
  return session.problem.points[point]!.name;
}

function beeps(session: MapSession, a: string, b: string): boolean {
  const joined = LINKS.filter(([part]) => !session.told.lifted.has(part));
  const end = (point: string): string =>
    joined.reduce((net, [, from, to]) => (net === to ? from : net), TRUTH[point] ?? point);
  return end(a) === end(b);
}

function say(session: MapSession, ...lines: string[]): void {
  for (const line of lines) {
    const n = (session.events.at(-1)?.n ?? 1) + 1;
    session.take({ n, say: parseMapSay(line, session.names) });
  }
}

function netsByName(session: MapSession): string[] {
  return mappedNets(session)
    .nets.map(({ points }) =>
      points
        .map((point) => nameOf(session, point))
        .sort()
        .join(' '),
    )
    .sort();
}

const fresh = (parts: PartList = list): MapSession => new MapSession(parts, COMMON_HANDHELD);

function truth(...merged: readonly (readonly [string, string])[]): string[] {
  const groups = new Map<string, string[]>();
  for (const [point, net] of Object.entries(TRUTH)) {
    const end = merged.find(([, to]) => to === net)?.[0] ?? net;
    groups.set(end, [...(groups.get(end) ?? []), point]);
  }
  return [...groups.values()].map((points) => points.sort().join(' ')).sort();
}

describe('a map under way', () => {
  it('finds the nets but for what low-ohm parts hide, and says which these are', () => {
    const session = fresh();
    playOn(session);
    expect(netsByName(session)).toEqual(truth(['IN', 'BUS'], ['SW', 'OUT']));
    const hidden = mappedNets(session).lowOhm;
    expect(hidden.map(({ parts, nets }) => [parts, nets])).toEqual([
      [['F1'], 1],
      [['L1'], 1],
    ]);
  });

  it('finds them all once what joins them is lifted, even half-way, and keeps them when it is back', () => {
    const session = fresh();
    playOn(session, 6);
    say(session, 'lift F1 L1');
    playOn(session);
    expect(netsByName(session)).toEqual(truth());
    say(session, 'refit F1 L1');
    expect(netsByName(session)).toEqual(truth());
    expect(mappedNets(session).lowOhm).toEqual([]);
  });

  it('counts no beep that may have gone through a part lifted since, and every quiet', () => {
    const session = fresh();
    say(session, 'C1.1 J1.1 beep', 'C1.1 J1.1 beep', 'C1.1 J1.2 quiet');
    const { names } = session;
    const net = (point: string): number => session.map.netOf(names.points.get(point)!);
    expect(net('C1.1')).toBe(net('J1.1'));
    say(session, 'F1.2 C1.1 beep', 'lift F1');
    expect(net('C1.1')).not.toBe(net('J1.1'));
    expect(session.map.tallyOf(net('C1.1'), net('J1.2'))?.isQuiet).toBe(true);
  });

  it('tells the sides of a part apart by what an eye saw, where that takes in every point', () => {
    const session = fresh();
    playOn(session);
    say(session, 'J1.1 F1.1 joined');
    expect(mappedNets(session).lowOhm[0]).toMatchObject({ parts: ['F1'], nets: 1 });
    say(session, 'F1.2 C1.1 Q1.3 joined');
    expect(mappedNets(session).lowOhm[0]).toMatchObject({ parts: ['F1'], nets: 2 });
    expect(netsByName(session)).toEqual(truth(['SW', 'OUT']));
  });

  it('is the same after every stop and resume', () => {
    const whole = fresh();
    playOn(whole);
    fc.assert(
      fc.property(fc.integer({ min: 0, max: whole.events.length }), (count) => {
        const resumed = new MapSession(list, COMMON_HANDHELD, whole.events.slice(0, count));
        playOn(resumed);
        expect(netsByName(resumed)).toEqual(netsByName(whole));
        const read = new MapSession(list, COMMON_HANDHELD, whole.events);
        expect(mappedBoardText(read)).toBe(mappedBoardText(whole));
      }),
      { numRuns: 20 },
    );
  });

  it('takes back the last, or any event, as if it had never been said', () => {
    const session = fresh();
    say(session, 'J1.2 C1.2 beep', 'J1.2 C2.2 beep');
    const before = mappedBoardText(session);
    say(session, 'J1.2 R1.1 beep', 'J1.2 R1.1 beep', 'undo 2');
    expect(mappedBoardText(session)).toBe(before);
    say(session, 'J1.2 R1.1 quiet', 'J1.2 R1.2 quiet');
    say(session, 'strike 7', 'strike 8');
    expect(mappedBoardText(session)).toBe(before);
  });

  it('names the readings that speak against each other', () => {
    const session = fresh();
    say(session, 'J1.2 C1.2 beep', 'J1.2 C1.2 beep', 'C1.2 C2.2 beep', 'C1.2 C2.2 beep');
    expect(session.conflicts).toEqual([]);
    say(session, 'J1.2 C2.2 quiet');
    expect(session.conflicts).toEqual([
      { event: 6, points: ['J1.2', 'C2.2'], joinedBy: ['event 2', 'event 4'] },
    ]);
    say(session, 'strike 6');
    expect(session.conflicts).toEqual([]);
  });

  it('writes a board file that loads at any time, each point not found yet on a marked net of its own', () => {
    const whole = fresh();
    playOn(whole);
    for (const count of [0, 1, 5, whole.events.length]) {
      const session = new MapSession(list, COMMON_HANDHELD, whole.events.slice(0, count));
      const { board } = loadBoard(mappedBoardText(session), 'made.yaml');
      const mapped = mappedNets(session);
      const unread = mapped.nets.filter(({ state }) => state === 'unread');
      expect(board.nets.filter(({ name }) => name.startsWith('unread_'))).toHaveLength(
        unread.length,
      );
      for (const { points } of unread) {
        const part = nameOf(session, points[0]!).split('.')[0]!;
        expect(board.partNamed.get(part)?.guesses.join()).toMatch(/net not found yet/);
      }
    }
  });

  it('goes on from its own board file, and keeps that file’s comments and order', () => {
    const session = fresh();
    say(session, 'ground J1.2', 'J1.2 C1.2 beep', 'J1.2 C1.2 beep', 'name J1.1 P24');
    const text = `# by hand\n${mappedBoardText(session).replace('  C2:', '  # beside the choke\n  C2:')}`;
    const again = fresh(partListOf(loadBoard(text, 'b.yaml').board, text));
    expect(again.map.netOf(again.names.points.get('J1.2')!)).toBe(
      again.map.netOf(again.names.points.get('C1.2')!),
    );
    say(again, 'C1.2 C2.2 beep', 'C1.2 C2.2 beep');
    const made = mappedBoardText(again);
    expect(made).toMatch(/# by hand/);
    expect(made).toMatch(/# beside the choke/);
    const { board } = loadBoard(made, 'b.yaml');
    expect(board.netNamed.get('GND')?.pins).toHaveLength(3);
    expect(board.netNamed.has('P24')).toBe(true);
  });
});

describe('the lines of a map', () => {
  const names = fresh().names;
  const points = [...names.points.keys()];
  const point = fc.constantFrom(...points);

  it('are read as they were printed', () => {
    const says = fc.oneof(
      fc
        .tuple(fc.uniqueArray(point, { minLength: 4, maxLength: 8 }), fc.boolean())
        .map(([[hold = '', one = '', ...row], beeps]) => ({
          do: 'touch' as const,
          hold,
          touch: [[one], row],
          beeps,
        })),
      fc.uniqueArray(point, { minLength: 2, maxLength: 4 }).map((each) => ({
        do: 'joined' as const,
        points: each,
      })),
      fc
        .constantFrom('lift' as const, 'refit' as const)
        .map((word) => ({ do: word, parts: ['L1'] })),
      fc.integer({ min: 1, max: 99 }).map((count) => ({ do: 'undo' as const, count })),
      fc.integer({ min: 1, max: 99 }).map((event) => ({ do: 'strike' as const, event })),
      point.map((each) => ({ do: 'name' as const, point: each, net: 'P24' })),
      point.map((each) => ({ do: 'skip' as const, points: [each] })),
    );
    fc.assert(
      fc.property(says, (each) => {
        expect(parseMapSay(printMapSay(each), names)).toEqual(each);
      }),
    );
  });

  it('are refused with the word that is wrong and the nearest known', () => {
    const hintOf = (line: string): unknown => {
      try {
        parseMapSay(line, names);
      } catch (error) {
        return (error as { diagnostics: { message: string; hint?: string }[] }).diagnostics[0];
      }
      return undefined;
    };
    expect(hintOf('J1.2 C1.9 beep')).toMatchObject({ hint: 'did you mean C1.1?' });
    expect(hintOf('J1.2 C1.1 bep')).toMatchObject({ hint: 'did you mean beep?' });
    expect(hintOf('lft L1')).toMatchObject({ hint: 'did you mean lift?' });
    expect(hintOf('J1.2 J1.2 quiet')).toMatchObject({
      message: expect.stringMatching(/against others/),
    });
    expect(hintOf('')).toBeDefined();
  });

  it('never fall into anything but a refusal', () => {
    fc.assert(
      fc.property(fc.string(), (line) => {
        try {
          parseMapSay(line, names);
        } catch (error) {
          expect(error).toHaveProperty('diagnostics');
        }
      }),
    );
  });
});

it('a replay takes events in any number', () => {
  const events: MapEvent[] = [{ n: 2, say: { do: 'undo', count: 5 } }];
  expect(new MapSession(list, COMMON_HANDHELD, events).counts.touches).toBe(0);
});
