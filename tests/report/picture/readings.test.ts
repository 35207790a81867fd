import { describe, expect, test } from 'vitest';
import type { Injection } from '../../../src/circuit/reading.ts';
import { AS_FOUND } from '../../../src/circuit/state.ts';
import type { TakenReading } from '../../../src/faults/evidence.ts';
import { viewPicture } from '../../../src/report/picture/view.ts';
import { factsOf, weigher } from './rails.ts';

const board = weigher();
const net = (name: string) => ({ net: board.netNamed.get(name)?.index ?? -1 });
const pad = (name: string) => {
  const [part = '', leg = ''] = name.split('.');
  const pin = board.partNamed.get(part)?.pins[Number(leg) - 1] ?? -1;
  return { net: board.pins[pin]?.net ?? -1, pin };
};

/** A supply's plus on the rail, its minus on ground; or the other way round. */
const FORWARD: Injection = { red: net('V3'), black: net('GND'), amps: 0.5 };
const REVERSED: Injection = { red: net('GND'), black: net('V3'), amps: 0.5 };

function pictured(injected: Injection, volts: readonly [string, string, number][]) {
  const readings = volts.map(([red, black, value], index): TakenReading => {
    return {
      mode: 'millivolts',
      red: pad(red),
      black: pad(black),
      injected,
      value: { kind: 'volts', volts: value },
      id: index + 2,
      state: AS_FOUND,
    };
  });
  const facts = factsOf(board, []);
  return viewPicture({ ...facts, evidence: { ...facts.evidence, readings } });
}

const nearestFirst = (view: ReturnType<typeof pictured>): (string | undefined)[] =>
  view.readings.map(({ place }) => place);

describe('millivolts under an injected current', () => {
  test('along the rail fall toward the short: the lowest is nearest', () => {
    const view = pictured(FORWARD, [
      ['C14.1', 'C8.1', -0.001],
      ['C60.1', 'C8.1', -0.006],
      ['C22.1', 'C8.1', -0.003],
    ]);
    expect(view.shaded).toBe('millivolts against C8.plus');
    expect(nearestFirst(view)).toEqual(['C60', 'C22', 'C14']);
    expect(view.readings[0]).toMatchObject({ text: '-6 mV', shade: 4 });
    expect(view.readings[0]?.notes).toEqual(['0.5 A from V3 to GND']);
    const fixed = view.sides.flatMap(({ places }) => places.filter(({ isFixed }) => isFixed));
    expect(fixed.map(({ name }) => name)).toEqual(['C8']);
  });

  test('with the probes swapped tell the same', () => {
    const view = pictured(FORWARD, [
      ['C8.1', 'C14.1', 0.001],
      ['C8.1', 'C60.1', 0.006],
    ]);
    expect(nearestFirst(view)).toEqual(['C60', 'C14']);
  });

  test('along ground rise toward the short, and fall where the supply is turned round', () => {
    const volts: [string, string, number][] = [
      ['C14.2', 'C8.2', 0.001],
      ['C60.2', 'C8.2', 0.006],
    ];
    expect(nearestFirst(pictured(FORWARD, volts))).toEqual(['C60', 'C14']);
    expect(nearestFirst(pictured(REVERSED, volts))).toEqual(['C14', 'C60']);
  });

  test('across each part are lowest at the short, whichever way the current runs', () => {
    const volts: [string, string, number][] = [
      ['C14.1', 'C14.2', 0.021],
      ['C60.2', 'C60.1', -0.012],
    ];
    const view = pictured(FORWARD, volts);
    expect(view.shaded).toBe('millivolts across the pads of each part');
    expect(nearestFirst(view)).toEqual(['C60', 'C14']);
    expect(nearestFirst(pictured(REVERSED, volts))).toEqual(['C60', 'C14']);
  });

  test('under different currents are not compared', () => {
    const one = pictured(FORWARD, [
      ['C14.1', 'C14.2', 0.021],
      ['C22.1', 'C22.2', 0.02],
    ]);
    const facts = factsOf(board, ['C60.1 C60.2 30 mohm', 'C63.1 C63.2 30 mohm']);
    const more = { ...FORWARD, amps: 1 };
    const readings = [
      ...facts.evidence.readings,
      ...[FORWARD, more, more].map(
        (injected, index): TakenReading => ({
          mode: 'millivolts',
          red: pad(`C${40 + index}.1`),
          black: pad(`C${40 + index}.2`),
          injected,
          value: { kind: 'volts', volts: 0.01 },
          id: 10 + index,
          state: AS_FOUND,
        }),
      ),
    ];
    const view = viewPicture({ ...facts, evidence: { ...facts.evidence, readings } });
    expect(one.readings.every(({ shade }) => shade !== undefined)).toBe(true);
    expect(view.readings.filter(({ shade }) => shade !== undefined).map(({ id }) => id)).toEqual([
      11, 12,
    ]);
    expect(view.readings).toHaveLength(5);
  });
});
