import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Random } from '../../src/bench/random.ts';
import { InputError } from '../../src/board/diagnostic.ts';
import { renderDiagnostic } from '../../src/board/frame.ts';
import { COMMON_HANDHELD, type Meter } from '../../src/circuit/meter.ts';
import { type Calibration, calibrate } from '../../src/circuit/meter-calibration.ts';
import { resistorBetween, resistorNear } from '../../src/circuit/meter-threshold.ts';

const calibrated = (...lines: string[]): Calibration =>
  calibrate(lines.join('\n'), 'touches', COMMON_HANDHELD);

function errorsOf(...lines: string[]): string {
  try {
    calibrated(...lines);
  } catch (error) {
    if (error instanceof InputError) return error.diagnostics.map(renderDiagnostic).join('\n');
    throw error;
  }
  return '';
}

describe('a calibration', () => {
  it('finds leads, gain and the middle of the gap between beep and quiet', () => {
    const { meter, threshold, scale } = calibrated(
      'leads 0.3 ohm',
      'leads 0.2',
      'leads 0.3 ohm   # held together hard',
      '',
      '10 ohm shows 10.3 ohm',
      '100 ohm shows 101.2 ohm',
      '47 ohm beep',
      '56 ohm quiet',
    );
    expect(meter.leadOhms).toBeCloseTo(0.25, 1);
    expect(scale.leads.kept || scale.gain.kept || scale.contact.kept).toBe(false);
    expect(meter.gainRatio).toBeGreaterThan(0.004);
    expect(meter.gainRatio).toBeLessThan(0.03);
    expect(meter.beepOhms).toBeGreaterThan(49);
    expect(meter.beepOhms).toBeLessThan(54);
    expect(threshold?.low).toBeLessThan(meter.beepOhms);
    expect(threshold?.high).toBeGreaterThan(meter.beepOhms);
    expect(threshold?.bracket).toEqual({ beep: 47, quiet: 56 });
    expect(meter.name).toBe('common handheld, calibrated');
    expect(meter.drives).toBe(COMMON_HANDHELD.drives);
  });

  it('keeps from the other meter what no touch tells', () => {
    const beeps = calibrated('22 ohm beep', '27 ohm quiet').meter;
    expect(beeps).toMatchObject({ leadOhms: 0.2, contactOhms: 0.1, gainRatio: 0.01 });
    const leads = calibrated('leads 0.5', 'leads 0.5').meter;
    expect(leads).toMatchObject({ leadOhms: 0.5, beepOhms: 30, beepSpread: 0.2 });
    expect(calibrated('1 kohm shows 1010 ohm').meter.leadOhms).toBe(0.2);
    expect(calibrated('leads 0').meter.leadOhms).toBe(0);
  });

  it('asks for one more resistor when the gap is wide, and not when it is narrow', () => {
    expect(calibrated('22 ohm beep', '100 ohm quiet').tryNext).toBe(47);
    expect(calibrated('47 ohm beep', '56 ohm quiet').tryNext).toBeUndefined();
  });

  it('takes the wandering of one beeper for what it is', () => {
    const narrow = calibrated('33 ohm beep', '39 ohm quiet').meter;
    const wandering = calibrated('33 ohm beep', '39 ohm quiet', '39 ohm beep', '33 ohm quiet');
    expect(wandering.meter.beepSpread).toBeGreaterThan(narrow.beepSpread);
  });

  it('refuses what it cannot read, all of it at once', () => {
    expect(
      errorsOf('leads short', '47 ohm beeep', '10 ohm shows OL', 'hello', '0 ohm beep'),
    ).toMatchInlineSnapshot(`
      "touches:1:7: error[BAD_VALUE] "short" is not a resistance
         1 | leads short
           |       ^^^^^
        for example 47 ohm, 4k7, 0.3
      touches:2:1: error[NO_TRIAL] "47 ohm beeep" is no line of a calibration
         2 | 47 ohm beeep
           | ^^^^^^^^^^^^
        did you mean "beep"?
      touches:3:14: error[BAD_VALUE] "OL" is not a resistance
         3 | 10 ohm shows OL
           |              ^^
        for example 47 ohm, 4k7, 0.3
      touches:4:1: error[NO_TRIAL] "hello" is no line of a calibration
         4 | hello
           | ^^^^^
        a line is "leads 0.3 ohm", "10 ohm shows 10.3 ohm", "47 ohm beep" or "68 ohm quiet"
      touches:5:1: error[BAD_VALUE] "0 ohm" is not a resistance
         5 | 0 ohm beep
           | ^^^^^
        for example 47 ohm, 4k7, 0.3"
    `);
  });

  it('refuses touches that contradict each other, and readings of another resistor', () => {
    expect(errorsOf('100 ohm beep', '22 ohm quiet')).toMatchInlineSnapshot(`
      "touches:2:1: error[CONTRADICTION] "22 ohm quiet" and "100 ohm beep" on line 1 cannot both be true of one beeper
         2 | 22 ohm quiet
           | ^^^^^^^^^^^^
        leads and contacts explain 600 mΩ of difference; touch both again and take out the wrong line"
    `);
    expect(errorsOf('10 ohm shows 100 ohm')).toMatch(/further off than any meter in order/);
    expect(errorsOf('10 ohm shows 10.4 ohm', '1 ohm quiet', '1.2 ohm beep')).toBe('');
  });

  it('refuses beeps or quiets alone, and says which resistor to touch', () => {
    expect(errorsOf('10 ohm beep', '47 ohm beep')).toMatch(
      /up to 47 Ω .*\n.*\n.*\^+\n.*about 100 Ω/,
    );
    expect(errorsOf('47 ohm quiet')).toMatch(/touch one more that beeps, of about 22 Ω/);
    expect(errorsOf('# nothing')).toMatch(/no resistor was touched/);
  });
});

/** Touches of a meter whose threshold is known: every E12 resistor from a sixth to six times it. */
function simulate(real: Meter, random: Random): string[] {
  const touch = (ohms: number): number => ohms + real.leadOhms + real.contactOhms * random.normal();
  const lines = ['leads', 'leads', 'leads'].map(
    (word) => `${word} ${Math.max(0, touch(0)).toFixed(2)}`,
  );
  for (const ohms of [10, 47, 100, 220]) {
    lines.push(`${ohms} ohm shows ${(touch(ohms) * (1 + real.gainRatio)).toFixed(2)} ohm`);
  }
  for (let ohms = resistorNear(real.beepOhms / 4); ohms < 4 * real.beepOhms; ) {
    const threshold = real.beepOhms * Math.exp(real.beepSpread * random.normal());
    lines.push(`${ohms} ohm ${touch(ohms) < threshold ? 'beep' : 'quiet'}`);
    ohms = resistorNear(ohms * 1.21);
  }
  return lines;
}

it('finds the threshold of a simulated meter within the interval it states', () => {
  const seeds = Array.from({ length: 80 }, (_, seed) => seed);
  const within = seeds.filter((seed) => {
    const random = new Random(seed);
    const real: Meter = {
      ...COMMON_HANDHELD,
      beepOhms: 10 * 12 ** random.next(),
      beepSpread: 0.02 + 0.1 * random.next(),
      leadOhms: 0.1 + 0.4 * random.next(),
      contactOhms: 0.08,
      gainRatio: 0.01,
    };
    const { threshold, meter } = calibrated(...simulate(real, random));
    expect(Math.abs(meter.leadOhms - real.leadOhms)).toBeLessThan(0.25);
    expect(Math.abs(Math.log(meter.beepOhms / real.beepOhms))).toBeLessThan(0.35);
    // an interval that is always right because it is always wide would be no help
    expect(threshold!.high / threshold!.low).toBeLessThan(2.2);
    return threshold!.low <= real.beepOhms && real.beepOhms <= threshold!.high;
  });
  // 95 % are promised; of 80 runs 70 or fewer would be a chance of one in a hundred
  expect(within.length).toBeGreaterThan(70);
});

it('more touches with the same outcome never widen the interval', () => {
  const touches = fc.array(fc.constantFrom('33 ohm beep', '47 ohm quiet'), { maxLength: 6 });
  const width = (lines: readonly string[]): number => {
    const { low, high } = calibrated('33 ohm beep', '47 ohm quiet', ...lines).threshold!;
    return Math.log(high / low);
  };
  fc.assert(
    fc.property(touches, fc.constantFrom('33 ohm beep', '47 ohm quiet'), (lines, more) => {
      expect(width([...lines, more])).toBeLessThanOrEqual(width(lines) + 0.03);
    }),
    { numRuns: 15 },
  );
});

it('names resistors that are made', () => {
  expect([53, 0.35, 990, 1234].map(resistorNear)).toEqual([56, 0.33, 1000, 1200]);
  expect(resistorBetween(47, 56)).toBeUndefined();
});
