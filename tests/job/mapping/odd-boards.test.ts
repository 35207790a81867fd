import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../../src/board/load.ts';
import { partListOf } from '../../../src/board/part-list/from-board.ts';
import type { PartList } from '../../../src/board/part-list/part-list.ts';
import { readList } from '../../../src/board/part-list/read-list.ts';
import { COMMON_HANDHELD } from '../../../src/circuit/meter.ts';
import { mappedNets } from '../../../src/job/mapping/nets.ts';
import { MapSession } from '../../../src/job/mapping/session.ts';
import { problemOf } from '../../../src/steps/mapping/problem-of.ts';

const BOARDS = new URL('../../../boards/', import.meta.url);
const NAMES = readdirSync(BOARDS).filter((file) => file.endsWith('.yaml'));

interface Hidden {
  readonly list: PartList;
  /** By point number, what beeps together. */
  readonly heard: readonly string[];
}

/** A shipped board: its nets are hidden, and so are places. */
function hidden(file: string): Hidden {
  const text = readFileSync(new URL(file, BOARDS), 'utf8');
  const whole = partListOf(loadBoard(text, file).board, text);
  const list = {
    ...whole,
    parts: whole.parts.map((part) => ({
      ...part,
      pins: part.pins.map(({ name, role }) => ({ name, role })),
    })),
  };
  const nets = whole.parts.flatMap(({ pins }) => pins.map(({ net }) => net ?? '?'));
  const pairs = problemOf(list, COMMON_HANDHELD).parts.flatMap(({ lowOhm }) => lowOhm);
  return { list, heard: joinedBy(nets, pairs) };
}

function joinedBy(
  nets: readonly string[],
  pairs: readonly (readonly [number, number])[],
): readonly string[] {
  return pairs.reduce<readonly string[]>((all, [a, b]) => {
    return all.map((net) => (net === all[a] ? (all[b] ?? net) : net));
  }, nets);
}

/** Answers to the end; a planner that never comes to one fails. */
function mapped({ list, heard }: Hidden): MapSession {
  const session = new MapSession(list, COMMON_HANDHELD);
  const names = [...session.names.points.keys()];
  const nameOf = (point: number): string => names[point] ?? '?';
  for (let n = 2; n < 30_000; n++) {
    const sweep = session.next();
    if (sweep === undefined) return session;
    const at = sweep.touch.findIndex(({ points }) =>
      points.some((point) => heard[point] === heard[sweep.hold]),
    );
    const touch = (at < 0 ? sweep.touch : sweep.touch.slice(0, at + 1)).map(({ points }) =>
      points.map(nameOf),
    );
    session.take({ n, say: { do: 'touch', hold: nameOf(sweep.hold), touch, beeps: at >= 0 } });
  }
  throw new Error('the map never ends');
}

/** Nets that hold points of more than one true net, as lists of point names. */
function mixed(session: MapSession, heard: readonly string[]): readonly (readonly string[])[] {
  const names = [...session.names.points.keys()];
  return mappedNets(session)
    .nets.filter(({ points }) => new Set(points.map((point) => heard[point])).size > 1)
    .map(({ points }) => points.map((point) => names[point] ?? '?'));
}

function nets(session: MapSession): number {
  return mappedNets(session).nets.filter(({ state }) => state === 'joined').length;
}

describe('a map of a board that is not as the planner expects', () => {
  it.each(NAMES)('ends without places, with no wrong net and few left apart: %s', (file) => {
    const board = hidden(file);
    const session = mapped(board);
    expect(mixed(session, board.heard)).toEqual([]);
    const found = new Set(session.map.nets().map((net) => session.map.pointsOf(net).length));
    expect(Math.max(...found)).toBeGreaterThan(20);
    const apart = nets(session) / new Set(board.heard).size;
    expect(apart).toBeLessThan(1.1);
  });

  it.each(NAMES)('names the part that joined a wrong net where kinds are wrong: %s', (file) => {
    const board = hidden(file);
    // Every part of two legs goes for the kind of the next: capacitors for fuses, coils for resistors.
    const two = board.list.parts.filter(({ pins }) => pins.length === 2);
    const kinds = new Map(
      two.map(({ name }, at) => [name, two[(at + 1) % two.length]?.kind ?? '']),
    );
    const parts = board.list.parts.map((part) => ({
      ...part,
      kind: kinds.get(part.name) ?? part.kind,
    }));
    const session = mapped({ ...board, list: { ...board.list, parts } });
    const named = new Set(mappedNets(session).lowOhm.flatMap((doubt) => doubt.parts));
    for (const points of mixed(session, board.heard)) {
      expect(points.some((point) => named.has(point.split('.')[0] ?? ''))).toBe(true);
    }
  });

  it.each([1, 2, 3, 40])('ends where all of %i resistors lie on one net', (count) => {
    const rows = Array.from({ length: count }, (_, k) => `R${k + 1},1\nR${k + 1},2`);
    const list = readList(`part,pin\n${rows.join('\n')}\n`, 'one.csv');
    const heard = list.parts.flatMap(({ pins }) => pins.map(() => 'only'));
    const session = mapped({ list, heard });
    expect(mixed(session, heard)).toEqual([]);
    expect(mappedNets(session).isFinished).toBe(true);
  });

  it('ends at once with one point, and with two asks the one pair there is', () => {
    const one = readList('part,pin\nJ1,1\n', 'one.csv');
    expect(mapped({ list: one, heard: ['a'] }).counts.touches).toBe(0);
    const two = readList('part,pin\nJ1,1\nJ2,1\n', 'two.csv');
    expect(nets(mapped({ list: two, heard: ['a', 'a'] }))).toBe(1);
    expect(nets(mapped({ list: two, heard: ['a', 'b'] }))).toBe(0);
  });
});
