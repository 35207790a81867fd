import { beforeAll, describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { isHealthyBeep } from '../../src/steps/advise.ts';
import { explainPair } from '../../src/steps/explain-pair.ts';
import { Job, play, shippedBoard } from './bench.ts';

const hoist = new Job(shippedBoard('hoist-drive'));
const flyback = new Job(shippedBoard('bench-flyback'));

//  P48 ──┬─────────────── W1 ── P48_CHOP ── D5 ── CHOP_R ── Q19, Q20 ── GND_CHOP ── W5 ──┬── GND
//        └─ C1…C6 (bank) ────────────────────────────────────────────────────────────────┘
describe('a bank shorted, and a second way over jumpers', () => {
  const CHOPPER = [
    { part: 'C2', mode: 'short' },
    { part: 'D5', mode: 'short' },
    { part: 'Q19', mode: 'D-S short' },
  ];

  let followed: ReturnType<typeof play>;
  beforeAll(() => {
    followed = play(hoist.board, CHOPPER);
  }, 180_000);

  it('is followed to its end: every failed part is out and the board is proven clear', () => {
    const { played, replaced } = followed;
    expect(played.clear).toBe(true);
    for (const part of ['C2', 'D5', 'Q19']) expect(replaced).toContain(part);
  });

  it('has a jumper lifted before the bank is pulled', () => {
    const { played } = followed;
    const said = played.steps.flatMap((step) => step.said);
    const lift = said.findIndex((line) => /^lift W\d/.test(line));
    const pull = said.findIndex((line) => /^remove C\d/.test(line));
    expect(lift).toBeGreaterThan(-1);
    if (pull > -1) expect(lift).toBeLessThan(pull);
  });

  const BANK_OUT = [
    'P48 GND beep',
    'PH_U GND quiet',
    'PH_V GND quiet',
    'PH_W GND quiet',
    'remove C1 C2 C3 C4 C5 C6',
    'P48 GND beep',
    'P48 GND beep',
  ];

  it('is not held to be over when the bank is out and the beep stays', () => {
    const advice = hoist.next(BANK_OUT);
    expect(advice.phase).not.toBe('clear');
    expect(advice.step.kind).not.toBe('refit');
  });

  it('shows the way that is left, part by part, and what breaks it', () => {
    const told = [
      ...BANK_OUT,
      'lift W1',
      'P48 GND quiet',
      'P48_CHOP CHOP_R beep',
      'CHOP_R GND_CHOP beep',
      'refit W1',
    ];
    const pair = explainPair(hoist.after(told), hoist.net('P48'), hoist.net('GND'));
    const ways = pair.ways.map(({ links }) => links.map((l) => hoist.names(l.parts)));
    const way = ways.find((links) => links.some((names) => names.includes('D5')));
    expect(way?.map((names) => names[0])).toEqual(['W1', 'D5', 'Q19', 'W5']);
    const breaking = pair.breakers
      .filter(({ share }) => share > 0.7)
      .flatMap((b) => hoist.names(b.parts));
    expect(breaking).toEqual(expect.arrayContaining(['W1']));
  });
});

describe('a part whose legs no longer touch their pads', () => {
  // What is left of the chance that C2 is shorted, over what it was before the silence.
  const left = (looks: readonly string[]): number => {
    const chance = (says: readonly string[]): number => {
      const { beliefs } = hoist.after(says);
      let sum = 0;
      for (const fault of beliefs.problem.universe.faults) {
        const k = fault.members.findIndex((m) => m.part === hoist.part('C2'));
        if (fault.mode === 'short' && k >= 0) sum += beliefs.members(fault.id)[k] ?? 0;
      }
      return sum;
    };
    return chance([...looks, 'P48 GND quiet']) / chance(looks);
  };

  it('is cleared by a silence at first sight', () => {
    expect(left([])).toBeLessThan(0.05);
  });

  it('is not cleared by it once an eye has found the leg', () => {
    // No more than by a silence with the part off the board, which speaks of its bank mates alone.
    const apart = left(['remove C2']);
    expect(apart).toBeGreaterThan(0.4);
    expect(left(['look C2.plus off its pad'])).toBeGreaterThan(0.9 * apart);
    const { cleared } = hoist.after(['look C2.plus off its pad', 'P48 GND quiet']).diagnosis;
    expect(cleared.some(({ part }) => part === hoist.part('C2'))).toBe(false);
  });
});

describe('a rail that beeps on a healthy board', () => {
  it('is not called shorted', () => {
    const { board } = loadBoard(
      [
        'board: coil and sense resistor',
        'rails: {coil: {plus: COIL, minus: GND, volts: 24}}',
        'parts:',
        '  K1: {kind: inductor, ohms: 4, pins: [COIL, SENSE]}',
        '  R1: {kind: resistor, ohms: 0.1, pins: [SENSE, GND]}',
        '  C1: {kind: ceramic, farads: 1u, volts: 50, pins: [COIL, GND]}',
        '  D1: {kind: diode, pins: {A: GND, K: COIL}}',
      ].join('\n'),
      'coil.yaml',
    );
    const job = new Job(board);
    const probe = { red: { net: job.net('COIL') }, black: { net: job.net('GND') } };
    expect(isHealthyBeep(job.workbench, { mode: 'continuity', ...probe })).toBe(true);
    const { diagnosis } = job.after(['COIL GND beep']);
    expect(diagnosis.faultWeight).toBeLessThan(0.3);
    expect(diagnosis.contradictory).toBe(false);
  });
});

describe('a wrong reading in the middle of a job', () => {
  const TRUE = ['P48 GND beep', 'P48 PH_U beep', 'P48 PH_U beep', 'PH_U GND beep'];
  const WRONG = 'P48 GND quiet';

  it('is named once the contradiction shows, and asked for again', () => {
    const analysis = hoist.after([...TRUE, WRONG, 'P48 GND beep', 'P48 GND beep']);
    expect(analysis.diagnosis.doubtful[0]?.id).toBe(6);
    const alone = hoist.after(['P48 PH_U beep', 'PH_U GND beep', WRONG]);
    expect(alone.diagnosis.doubtful.map(({ id }) => id)).toContain(4);
  });

  it('leads nobody astray in whole jobs with wrong readings', { timeout: 120_000 }, () => {
    for (let seed = 2; seed < 5; seed++) {
      const { played, replaced } = play(
        hoist.board,
        [
          { part: 'Q8', mode: 'D-S short' },
          { part: 'Q11', mode: 'D-S short' },
        ],
        { seed, slipRatio: 0.02 },
      );
      expect(played.clear, `seed ${seed}`).toBe(true);
      expect(replaced, `seed ${seed}`).toEqual(expect.arrayContaining(['Q8', 'Q11']));
    }
  });
});

describe('a silence where copper should conduct', () => {
  it('accuses the blown fuse', () => {
    const analysis = flyback.after([fuseLine(), fuseLine()]);
    expect(flyback.weightOf(analysis, 'F1')).toBeGreaterThan(0.7);
  });

  it('accuses the joint that an eye found cracked', () => {
    const [a] = fuseNets();
    const f1 = flyback.board.partNamed.get('F1');
    const pin = flyback.board.pins[f1?.pins[0] ?? -1];
    const seen = [`look F1.${pin?.name} cracked`, fuseLine(), fuseLine()];
    const { diagnosis } = flyback.after(seen);
    const modes = diagnosis.suspects.find(({ part }) => part === f1?.index)?.modes ?? [];
    expect(a).toBeDefined();
    expect(modes[0]?.mode).toBe('joint open');
  });

  it('accuses the broken link', () => {
    const analysis = hoist.after(['P48 P48_FAN quiet', 'P48 P48_FAN quiet']);
    expect(hoist.weightOf(analysis, 'W2')).toBeGreaterThan(0.7);
  });

  function fuseNets(): string[] {
    const f1 = flyback.board.partNamed.get('F1');
    return (f1?.pins ?? []).map(
      (pin) => flyback.board.nets[flyback.board.pins[pin]?.net ?? -1]?.name ?? '?',
    );
  }

  function fuseLine(): string {
    return `${fuseNets().join(' ')} quiet`;
  }
});

describe('undo', () => {
  it('of the last three gives exactly the earlier state', () => {
    const before = ['P48 GND beep', 'lift W1', 'P48 GND beep'];
    const after = [...before, 'remove Q19 Q20', 'P48 GND quiet', 'replace Q19 Q20', 'undo 3'];
    const { history: _a, ...now } = hoist.derive(after);
    const { history: _b, ...then } = hoist.derive(before);
    expect(now).toEqual(then);
  });
});

describe('a part read on its own legs', () => {
  const OUT = ['P48 PH_U beep', 'remove Q1 Q2 Q3', 'P48 PH_U quiet'];

  it('is condemned by a low reading and cleared by OL', () => {
    const shorted = hoist.after([...OUT, 'off Q1: D S 0.4 ohm']);
    expect(hoist.weightOf(shorted, 'Q1')).toBeGreaterThan(0.98);
    const legs = ['off Q2: D S OL', 'off Q2: G S OL', 'off Q2: G D OL'];
    const sound = hoist.after([...OUT, 'off Q1: D S 0.4 ohm', ...legs]);
    expect(hoist.weightOf(sound, 'Q2')).toBeLessThan(0.03);
  });

  it('is not spoken of by a reading from its pads while it is out', () => {
    const out = hoist.after(['remove Q1 Q2 Q3']);
    const read = hoist.after(['remove Q1 Q2 Q3', 'P48 PH_U quiet']);
    const chance = (analysis: typeof out): number =>
      analysis.beliefs.problem.universe.faults
        .filter(
          (fault) =>
            fault.what === 'part' && fault.members.some((m) => m.part === hoist.part('Q1')),
        )
        .reduce((sum, fault) => sum + (analysis.beliefs.chance[fault.id] as number), 0);
    expect(chance(read)).toBeCloseTo(chance(out), 4);
  });
});

describe('ten 100 Ω resistors in parallel', () => {
  const bank = (count: number): Job => {
    const parts = Array.from(
      { length: count },
      (_, k) => `  R${k}: {kind: resistor, ohms: 100, pins: [A, B]}`,
    );
    return new Job(loadBoard(['board: bank', 'parts:', ...parts].join('\n'), 'bank.yaml').board);
  };
  const probe = { mode: 'continuity', red: { net: 0 }, black: { net: 1 } } as const;

  it('beep, and one does not', () => {
    expect(isHealthyBeep(bank(10).workbench, probe)).toBe(true);
    expect(isHealthyBeep(bank(1).workbench, probe)).toBe(false);
  });
});

describe('a connection that the board file lacks', () => {
  const bench = new Job(shippedBoard('bench-flyback'));
  const joined = ['LED24_A COMP beep', 'COMP LED24_A beep'];

  it('is proposed with its two nets where no listed fault explains a reading', () => {
    const [link] = bench.after(joined).diagnosis.missingLinks;
    expect(link?.nets).toEqual([bench.net('LED24_A'), bench.net('COMP')]);
    expect(link?.weight).toBeGreaterThan(0.5);
  });

  it('once accepted explains the readings from before it was said', () => {
    const { diagnosis } = bench.after([...joined, 'link LED24_A COMP', 'LED24_A COMP beep']);
    expect(diagnosis.missingLinks).toEqual([]);
    expect(diagnosis.contradictory).toBe(false);
    expect(diagnosis.doubtful.filter(({ weight }) => weight > 0.1)).toEqual([]);
  });
});
