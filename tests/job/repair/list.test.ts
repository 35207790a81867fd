import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../../src/board/load.ts';
import { LAMP } from '../../cli/scratch.ts';
import { Repaired, shipped } from './repaired.ts';

const hoist = shipped('hoist-drive');
const flyback = shipped('bench-flyback');
const lamp = loadBoard(LAMP, 'lamp.yaml').board;

/** Q5 off the board, shorted from gate to drain and all over. */
const GATE_GONE = [
  'P48 GND beep',
  'PH_U GND beep',
  'remove Q5',
  'PH_U GND quiet',
  'off Q5: D S 0.4 ohm',
  'off Q5: G S 0.7 ohm',
  'off Q5: G D 0.6 ohm',
];

/** Q2 off the board, shorted from drain to source, its gate sound. */
const DRAIN_GONE = [
  'P48 PH_U beep',
  'remove Q2',
  'P48 PH_U quiet',
  'off Q2: D S 0.4 ohm',
  'off Q2: G S OL',
  'off Q2: G D OL',
];

describe('the repair list', () => {
  it('is empty while nothing speaks against any part', () => {
    const { list } = new Repaired(hoist, []);
    expect(list.items).toEqual([]);
    expect(list.goesBack).toEqual([]);
    expect(list.mend).toEqual([]);
  });

  it('renews a part that failed, and its bank with it', () => {
    const job = new Repaired(hoist, GATE_GONE);
    expect(job.why('Q5')).toEqual(['failed']);
    expect(job.why('Q4')).toContain('same bank');
    expect(job.open).toEqual(expect.arrayContaining(['Q4', 'Q5', 'Q6']));
    expect(job.open).not.toContain('Q3');
  });

  it('renews gate resistor and driver where the fault reached the gate', () => {
    const job = new Repaired(hoist, GATE_GONE);
    expect(job.open).toEqual(expect.arrayContaining(['R7', 'U1']));
    expect(job.why('R7')).toEqual(['gate resistor']);
    expect(job.why('U1')).toEqual(['driver']);
  });

  it('has them tested only where the gate is sound', () => {
    const job = new Repaired(hoist, DRAIN_GONE);
    expect(job.inCase).toEqual(expect.arrayContaining(['R3', 'U1']));
    expect(job.open).not.toContain('R3');
  });

  it('has what fed the short tested: fuse, rectifier, inrush thermistor, sense resistors', () => {
    const job = new Repaired(flyback, [
      'HV PGND beep',
      'remove Q1',
      'HV PGND quiet',
      'off Q1: D S 0.3 ohm',
    ]);
    expect(job.why('F1')).toEqual(['in line']);
    expect(job.why('BR1')).toEqual(['in line']);
    expect(job.why('RT1')).toEqual(['in line']);
    expect(job.why('R5')).toEqual(['current-sense resistor']);
    expect(job.inCase).toEqual(expect.arrayContaining(['F1', 'BR1', 'RT1', 'R5', 'R6']));
    // Nothing of the secondary side fed it.
    expect(job.item('D6')).toBeUndefined();
  });

  it('finds the gate clamp and the turn-off diode of a transistor', () => {
    const job = new Repaired(flyback, [
      'remove Q1',
      'off Q1: D S 0.3 ohm',
      'off Q1: G S 0.5 ohm',
      'off Q1: G D 0.5 ohm',
    ]);
    expect(job.why('D3')).toEqual(['gate clamp']);
    expect(job.why('D2')).toEqual(['turn-off diode']);
    expect(job.why('R8')).toEqual(['gate pull resistor']);
    expect(job.open).toEqual(expect.arrayContaining(['D2', 'D3', 'R7', 'U1']));
    expect(job.inCase).toContain('R8');
  });

  it('never renews a controller that may hold a program for its neighbour alone', () => {
    const job = new Repaired(hoist, [
      'remove Q21',
      'off Q21: D S 0.3 ohm',
      'off Q21: G D 0.5 ohm',
      'off Q21: G S 0.5 ohm',
    ]);
    expect(job.why('U7')).toEqual(['driver']);
    expect(job.inCase).toContain('U7');
  });

  it('renews what an eye found, until a later look takes it back', () => {
    expect(new Repaired(hoist, ['look C6 leaking']).why('C6')).toEqual(['seen']);
    expect(new Repaired(hoist, ['look C6 leaking']).open).toContain('C6');
    expect(new Repaired(hoist, ['look C6 leaking', 'look C6 looks sound']).open).toEqual([]);
    expect(new Repaired(hoist, ['look C6 dirty', 'look C9 reworked']).open).toEqual([]);
  });

  it('lists a missing part without its bank', () => {
    expect(new Repaired(hoist, ['look C6 missing']).open).toEqual(['C6']);
  });

  it('keeps apart what is only suspected, with its weight', () => {
    const job = new Repaired(hoist, ['P48 GND beep', 'P48_CHOP GND_CHOP beep']);
    expect(job.open).toEqual([]);
    expect(job.inCase).toContain('C3');
    const c3 = job.item('C3');
    expect(c3?.weight).toBeGreaterThan(0.01);
    expect(job.names((c3?.alike ?? []).map((part) => ({ part })))).toEqual([
      'C1',
      'C2',
      'C3',
      'C4',
      'C5',
      'C6',
    ]);
  });

  it('remembers why a part was renewed once the new one is read clear', () => {
    const job = new Repaired(hoist, [
      ...GATE_GONE,
      'replace Q4 Q5 Q6',
      'PH_U GND 100 kohm',
      'P48 GND 19 kohm',
    ]);
    expect(job.done).toEqual(['Q4', 'Q5', 'Q6']);
    expect(job.why('Q5')).toEqual(['failed']);
    expect(job.item('Q5')?.doneAt).toBe(9);
    expect(job.open).toEqual(expect.arrayContaining(['R7', 'U1']));
  });

  it('says when a part was renewed on a suspicion', () => {
    const job = new Repaired(hoist, ['P48 GND beep', 'replace C6', 'P48 GND quiet']);
    expect(job.done).toEqual(['C6']);
    const [reason] = job.item('C6')?.reasons ?? [];
    expect(reason).toMatchObject({ why: 'failed' });
  });

  it('says when a part was renewed for no recorded reason', () => {
    expect(new Repaired(hoist, ['replace R1']).why('R1')).toEqual(['replaced']);
  });

  it('lists a new part again when it is seen burnt', () => {
    const job = new Repaired(hoist, ['replace R1', 'look R1 burnt']);
    expect(job.open).toEqual(['R1']);
    expect(job.done).toEqual([]);
  });

  it('puts back what lies off the board and is not at fault', () => {
    const job = new Repaired(hoist, ['remove C9', 'off C9: 1 2 OL', 'lift Q7.D']);
    expect(job.names(job.list.goesBack)).toEqual(['C9']);
    expect(job.list.lifted.map((pin) => job.board.pins[pin]?.name)).toEqual(['D']);
  });

  it('renews aged parts in a refurbishment alone', () => {
    const job = new Repaired(flyback, [], 'refurbish');
    expect(job.open).toEqual(['C5', 'C6', 'C13', 'C18', 'C19', 'C20', 'C21', 'C24', 'C27']);
    expect(job.why('C5')).toEqual(['fails first']);
    expect(job.why('C21')).toEqual(['dries out']);
    expect(new Repaired(flyback, [], 'repair').open).toEqual([]);
    expect(job.list.items.every(({ isDue }) => isDue)).toBe(true);
    const leaking = new Repaired(flyback, ['look C24 leaking'], 'refurbish');
    expect(leaking.item('C24')?.isDue).toBe(false);
  });

  it('takes a joint off its pad for a joint, not for a part', () => {
    const job = new Repaired(hoist, ['look Q3.D off its pad']);
    expect(job.open).toEqual([]);
    expect(job.list.mend.map(({ what, seenAt }) => [what, seenAt])).toEqual([['joint', 2]]);
    expect(new Repaired(hoist, ['look Q3.D off its pad', 'reflow Q3.D']).list.mend).toEqual([]);
  });

  it('renews a whole bank when one of it failed and nothing tells which', () => {
    const names = ['C1', 'C2', 'C3', 'C4', 'C5', 'C6', 'C7', 'C8'];
    const { board } = loadBoard(
      `
board: Eight in a bank
rails:
  bus: {plus: P, minus: GND, volts: 24}
parts:
${names.map((name) => `  ${name}: {kind: electrolytic, farads: 1m, pins: {plus: P, minus: GND}, bank: bus}`).join('\n')}
  J1: {kind: connector, pins: {1: P, 2: GND}}
`,
      'bank.yaml',
    );
    const job = new Repaired(board, ['P GND beep', 'P GND 0.3 ohm', 'look P GND looks sound']);
    expect(job.open).toEqual(names);
    expect(job.item('C1')?.weight).toBeLessThan(0.5);
    expect(job.why('C1')).toContain('same bank');
  });

  it('has a part that sits the wrong way round turned, not renewed', () => {
    const job = new Repaired(lamp, ['D2.K D2.A 0.25 V', 'D2.A D2.K OL diode']);
    expect(job.list.mend.map(({ what }) => what)).toEqual(['turned']);
    expect(job.open).toEqual([]);
    expect(job.item('D2')?.weight ?? 0).toBeLessThan(job.list.mend[0]?.weight ?? 0);
  });

  it('takes no bank out for a part of it that sits the wrong way round', () => {
    const job = new Repaired(flyback, ['D6.K D6.A 0.2 V', 'D6.A D6.K OL diode', 'D6.K D6.A 0.2 V']);
    expect(job.open).toEqual([]);
  });

  it('has parts side by side tested where the board names no bank', () => {
    const text = LAMP.replaceAll(', bank: lamp switch', '');
    const { board } = loadBoard(text, 'lamp.yaml');
    const job = new Repaired(board, ['remove Q1', 'off Q1: D S 0.3 ohm']);
    expect(job.open).toContain('Q1');
    expect(job.inCase).toContain('Q2');
    expect(job.why('Q2')).toContain('in parallel');
  });

  it('starts the ticks of a part afresh when it comes onto the list again', () => {
    const first = new Repaired(lamp, ['look R2 burnt', 'tick R2 ordered', 'tick R2 holes clear']);
    expect([...(first.item('R2')?.ticks ?? [])]).toEqual([
      ['ordered', 3],
      ['holes clear', 4],
    ]);
    const fitted = new Repaired(lamp, ['look R2 burnt', 'tick R2 ordered', 'replace R2']);
    expect(fitted.item('R2')?.ticks.has('ordered')).toBe(true);
    const again = ['look R2 burnt', 'tick R2 ordered', 'replace R2', 'look R2 burnt'];
    expect(new Repaired(lamp, again).item('R2')?.ticks.size).toBe(0);
  });

  it('counts an isolation reading for the piece it was taken of', () => {
    const read = ['look Q1 burnt', 'remove Q1', 'isolation Q1 OL'];
    expect(new Repaired(lamp, read).item('Q1')?.isolation?.value.kind).toBe('over');
    const again = [...read, 'replace Q1', 'look Q1 burnt'];
    expect(new Repaired(lamp, again).item('Q1')?.isolation).toBeUndefined();
  });
});
