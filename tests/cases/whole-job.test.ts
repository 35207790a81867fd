import { describe, expect, it } from 'vitest';
import { InputError } from '../../src/board/diagnostic.ts';
import { WORK_STAGES } from '../../src/job/stage-of.ts';
import { shippedBoard } from './bench.ts';
import { WholeJob } from './whole-job.ts';

/** What a line is refused with: the message, then what to do about it. */
function refusal(job: WholeJob, line: string): string {
  try {
    job.say(line);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const [fault] = error.diagnostics;
    expect(fault?.code).toBe('NOT_NOW');
    return `${fault?.message}: ${fault?.hint}`;
  }
  throw new Error(`"${line}" was recorded`);
}

const SHORT_BULK = [{ part: 'C5', mode: 'short' }];

describe('a repair of a mains supply', () => {
  it('goes from intake to sign-off in the order of the stages', () => {
    const job = new WholeJob(shippedBoard('bench-flyback'), 'repair', SHORT_BULK);
    expect(job.standing().stages.map(({ stage }) => stage)).toEqual(WORK_STAGES);
    job.until('signed off');
    expect(job.order().filter((kind) => kind !== 'residual' && kind !== 'bench')).toEqual([
      'intake',
      'look-over',
      'touch-up',
      'power',
      'soak start',
      'soak',
      'sign-off',
    ]);
    expect(job.through()).toEqual(WORK_STAGES);
    expect(job.renewed()).toContain('C5');
    // Every capacitor that may be dangerous was measured before anything was read.
    const first = job.done.findIndex(({ kind }) => kind === 'bench');
    const before = job.done.slice(0, first).flatMap(({ said }) => said);
    expect(before).toEqual(
      expect.arrayContaining(['residual HV PGND 0 V', 'residual AC_L AC_N 0 V']),
    );
  }, 120_000);

  it('offers no power while a leg is in the air, and names the leg', () => {
    const job = new WholeJob(shippedBoard('bench-flyback'), 'repair');
    job.until('power');
    job.say('lift R16');
    expect(refusal(job, 'power 1 passed')).toMatch(/power-up is not offered yet.*R16.2 lifted/);
    const held = job.stage('repair');
    expect(held).toMatchObject({ state: 'under way' });
    expect(held?.needs.join()).toMatch(/R16.2 lifted since event \d+/);
    expect(refusal(job, 'sign-off cleared')).toMatch(/not cleared yet.*R16.2 lifted/);
    job.say('sign-off returned customer wants it back as it is');
    expect(job.standing().task?.kind).toBe('signed off');
  }, 120_000);

  it('asks for the voltages left again before cold readings once power was on', () => {
    const job = new WholeJob(shippedBoard('bench-flyback'), 'repair');
    job.until('power');
    job.say('power 1 passed', 'power 2 stopped lamp stays bright');
    expect(job.stage('power-up')?.state).toBe('held up');
    expect(job.next()).toMatch(/Measure the voltage left from HV/);
    job.say('residual HV PGND 280 V');
    expect(job.next()).toMatch(/Discharge HV to PGND through 2.2 kΩ/);
    expect(refusal(job, 'HV PGND quiet')).toMatch(/held 280 V, 6.43 J.*no cold reading above 60 V/);
  }, 120_000);

  it('takes the stages of power one after the other, and the soak after them', () => {
    const job = new WholeJob(shippedBoard('bench-flyback'), 'repair');
    expect(refusal(job, 'power 1 passed')).toMatch(/not offered yet: rail mains read clear/);
    expect(refusal(job, 'soak start 60 min')).toMatch(/the soak comes after power-up/);
    job.until('power');
    expect(refusal(job, 'power 2 passed')).toMatch(/stage 1 comes before stage 2/);
    expect(refusal(job, 'power 99 passed')).toMatch(/no stage 99/);
    expect(refusal(job, 'soak passed')).toMatch(/no soak is running/);
  }, 120_000);

  it('is opened again by a soak that was stopped: the short is found, and power starts anew', () => {
    const job = new WholeJob(shippedBoard('bench-flyback'), 'repair', SHORT_BULK);
    job.until('soak');
    job.say('soak stopped smoke at D6');
    job.breaks({ part: 'D6', mode: 'short' });
    expect(job.stage('soak')?.state).toBe('held up');
    expect(job.stage('cold survey')).toMatchObject({ state: 'held up' });
    expect(refusal(job, 'power 1 passed')).toMatch(/not offered yet/);
    job.until('signed off');
    expect(job.renewed()).toEqual(expect.arrayContaining(['C5', 'D6']));
    expect(job.derived.powerStages.filter(({ stage }) => stage === 1)).toHaveLength(2);
    expect(job.through()).toEqual(WORK_STAGES);
  }, 180_000);
});

describe('a short that came with the new part', () => {
  it('is seen when it is read again, and found before power is offered', () => {
    const job = new WholeJob(shippedBoard('bench-flyback'), 'repair', SHORT_BULK);
    while (!job.renewed().includes('C5')) job.step();
    job.breaks({ part: 'C7', mode: 'short' });
    job.until('power');
    expect(job.renewed()).toEqual(expect.arrayContaining(['C5', 'C7']));
    expect(job.stage('recheck')?.state).toBe('done');
  }, 180_000);
});

describe('a new part that went in the wrong way round', () => {
  it('is found by its diode reading, and power waits until it is put right', () => {
    const job = new WholeJob(shippedBoard('bench-flyback'), 'repair', [
      { part: 'Q1', mode: 'D-S short' },
      { part: 'Q1', mode: 'fitted the wrong way round', piece: 1 },
    ]);
    const fittings = (): number => (job.said().match(/replace Q1\b/gu) ?? []).length;
    while (fittings() < 1) job.step();
    expect(refusal(job, 'power 1 passed')).toMatch(/power-up is not offered yet/);
    job.until('signed off');
    expect(fittings()).toBe(2);
    const between = job.said().split('replace Q1')[1] ?? '';
    expect(between).toMatch(/Q1\.S Q1\.D 0\.\d+ V/u);
    expect(job.through()).toEqual(WORK_STAGES);
  }, 240_000);
});

describe('a part that was found leaking and reads well', () => {
  it('is renewed before power, unless it is ticked as tested', () => {
    const job = new WholeJob(shippedBoard('bench-flyback'), 'repair');
    job.say('look C18 leaking', 'look C21 leaking', 'look C21 looks sound').until('renew');
    expect(job.standing().task?.list).toEqual(['C18: found leaking']);
    job.step();
    job.until('power');
    expect(job.renewed()).toEqual(['C18']);
    const kept = new WholeJob(shippedBoard('bench-flyback'), 'repair');
    kept.say('look C18 leaking', 'tick C18 tested').until('power');
    expect(kept.renewed()).toEqual([]);
  }, 120_000);
});

describe('a refurbishment', () => {
  it('renews what dries out, leaves no stage out, and reads everything new clear', () => {
    const job = new WholeJob(shippedBoard('bench-flyback'), 'refurbish');
    expect(refusal(job, 'skip look-over seen before')).toMatch(/does not leave out its look-over/);
    expect(refusal(job, 'skip touch-up in a hurry')).toMatch(/does not leave out its touch-up/);
    job.until('renew');
    job.say('tick C13 tested');
    job.until('signed off');
    expect(job.renewed()).toEqual(expect.arrayContaining(['C5', 'C6', 'C18', 'C27']));
    expect(job.renewed()).not.toContain('C13');
    expect(job.through()).toEqual(WORK_STAGES);
  }, 180_000);

  it('of a signal board ends signed off too', () => {
    const job = new WholeJob(shippedBoard('bypass-rail'), 'refurbish');
    job.until('signed off');
    expect(job.through()).toEqual(WORK_STAGES);
  }, 240_000);
});

describe('a repair of a motor drive', () => {
  it('has every transistor that went back on the heatsink read apart from it and fastened', () => {
    const job = new WholeJob(shippedBoard('hoist-drive'), 'repair', [
      { part: 'Q19', mode: 'D-S short' },
    ]);
    job.until('isolation');
    expect(refusal(job, 'power 1 passed')).toMatch(/read apart from its heatsink/);
    job.say('isolation Q19 0.3 ohm');
    expect(job.next()).toMatch(/See to the insulator, then read the tab of Q19/);
    job.until('fasten');
    expect(refusal(job, 'power 1 passed')).toMatch(/tick Q19 fastened/);
    job.until('signed off');
    expect(job.through()).toEqual(WORK_STAGES);
  }, 300_000);
});

describe('the other jobs on the ready boards', () => {
  it('a signal board with a shorted rail is repaired and signed off', () => {
    const job = new WholeJob(shippedBoard('bypass-rail'), 'repair', [
      { part: 'C9', mode: 'short' },
    ]);
    job.until('signed off');
    expect(job.renewed()).toContain('C9');
    expect(job.through()).toEqual(WORK_STAGES);
  }, 300_000);

  it('a motor drive is refurbished and signed off', () => {
    const job = new WholeJob(shippedBoard('hoist-drive'), 'refurbish');
    job.until('signed off');
    expect(job.renewed()).toContain('C1');
    expect(job.through()).toEqual(WORK_STAGES);
  }, 300_000);
});
