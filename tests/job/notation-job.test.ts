import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { LINE_WORDS } from '../../src/board/names.ts';
import { parseSay } from '../../src/job/notation.ts';
import { printSay } from '../../src/job/print-say.ts';
import { isJobVerb } from '../../src/job/scan-job.ts';
import { faultsOf, pointedAt } from './refused-line.ts';
import { tinyBoard } from './tiny-board.ts';

const board = tinyBoard();

function canonical(text: string): string {
  return printSay(board, parseSay(board, text));
}

describe('lines about the job', () => {
  it.each([
    'customer it hums;  then "bang" #2',
    'arrived without its cover',
    'marking label 4711',
    'technician Ada Hartwell',
    'photo arrived.jpg',
    'photo pictures/left.jpg Q3 burnt corner',
    'photo "left side.jpg" Q3.D',
    'photo "a ""b"".jpg" seen from below',
    'residual P48 GND 0.4 V',
    'residual P48 GND -0.4 V',
    'powered Q1.D GND 47.9 V',
    'isolation Q3 OL',
    'isolation Q3 20 Mohm',
    'tick Q3 ordered',
    'tick Q3 Q1 holes clear',
    'power 2 passed',
    'power 2 passed lamp went dark at once',
    'power 2 stopped lamp stays bright',
    'function passed brake holds',
    'function failed brake slips',
    'soak start 2 h',
    'soak start 90 min',
    'soak start 45 s',
    'soak finding fan rattles',
    'soak passed',
    'soak passed nothing above 60 C',
    'soak stopped smoke at C7',
    'temp Q3 71.5 C',
    'temp Q3 -5 C',
    'at Q3 31.5 20',
    'at Q3.D -3.25 0 bottom',
    'skip look-over seen last week',
    'skip touch-up no heatsink parts',
    'skip soak customer waits',
    'sign-off cleared',
    'sign-off uneconomic transformer not to be had',
  ])('"%s" is its own canonical form', (text) => {
    expect(canonical(text)).toBe(text);
  });

  it.each([
    ['Residual p48 gnd 400mV', 'residual P48 GND 0.4 V'],
    ['residual P48 GND 0,4', 'residual P48 GND 0.4 V'],
    ['residual P48 GND 0', 'residual P48 GND 0 V'],
    ['powered P48 GND 0.4 kV', 'powered P48 GND 400 V'],
    ['temp q3 71°C', 'temp Q3 71 C'],
    ['At q3 31.50, 20 mm TOP', 'at Q3 31.5 20 top'],
    ['at Q3.drain 31.5mm 20mm', 'at Q3.D 31.5 20'],
    ['soak start 1 h 30 min', 'soak start 90 min'],
    ['soak start 1.5h', 'soak start 90 min'],
    ['SOAK Passed', 'soak passed'],
    ['photo "arrived.jpg"  q3   burnt', 'photo arrived.jpg Q3 burnt'],
    ['isolation Q3 open', 'isolation Q3 OL'],
  ])('"%s" means "%s"', (text, meant) => {
    expect(canonical(text)).toBe(meant);
  });

  it('ties a photo to a part or pin where the word after the file names one', () => {
    const part = board.partNamed.get('Q3')?.index;
    expect(parseSay(board, 'photo a.jpg Q3 burnt')).toEqual({
      do: 'photo',
      file: 'a.jpg',
      part,
      text: 'burnt',
    });
    expect(parseSay(board, 'photo a.jpg Q3.D')).toMatchObject({ part, pin: expect.any(Number) });
    expect(parseSay(board, 'photo a.jpg burnt at Q3')).toEqual({
      do: 'photo',
      file: 'a.jpg',
      text: 'burnt at Q3',
    });
  });

  it('takes the name of a rail with blanks in it, in any letter case', () => {
    const { board: real } = loadBoard(
      'board: b\nrails:\n  gate drive: {plus: V12, minus: GND}\nparts:\n  R1: {kind: resistor, ohms: 10, pins: [V12, GND]}\n',
      'b.yaml',
    );
    const say = parseSay(real, 'draws Gate  Drive 120 mA');
    expect(say).toEqual({ do: 'draws', rail: 0, amps: 0.12 });
    expect(printSay(real, say)).toBe('draws gate drive 0.12 A');
  });

  it.each([
    ['customer', 'NO_WORDS', 'customer'],
    ['photo', 'NOT_WHOLE', 'photo'],
    ['photo ../secret.jpg', 'BAD_FILE', '../secret.jpg'],
    ['photo /etc/hosts Q3', 'BAD_FILE', '/etc/hosts'],
    ['photo C:\\a.jpg', 'BAD_FILE', 'C:\\a.jpg'],
    ['photo "left side.jpg', 'BAD_FILE', '"left'],
    ['residual P48 0.4 V', 'BAD_VALUE', 'V'],
    ['residual P48 GND', 'BAD_VALUE', 'residual'],
    ['residual P48 GND OL', 'BAD_VALUE', 'OL'],
    ['residual P48 Q1.D 0 V', 'SAME_POINT', 'P48 Q1.D'],
    ['residual P48 GND 1,000 V', 'BAD_VALUE', '1,000 V'],
    ['isolation Q3 beep', 'VALUE_MODE', 'beep'],
    ['isolation Q3 12 mohm', 'VALUE_MODE', '12 mohm'],
    ['isolation Q3', 'NOT_WHOLE', 'isolation Q3'],
    ['tick Q3', 'NOT_WHOLE', 'tick Q3'],
    ['tick Q33 ordered', 'UNKNOWN_PART', 'Q33'],
    ['tick Q3 Q3 ordered', 'NAMED_TWICE', 'Q3 Q3'],
    ['draws bus 0.12 V', 'BAD_VALUE', '0.12 V'],
    ['draws 0.12 A', 'NOT_WHOLE', 'draws 0.12 A'],
    ['power on', 'BAD_STAGE', 'on'],
    ['power 2 stopped', 'NO_WORDS', 'power 2 stopped'],
    ['function passed', 'NO_WORDS', 'function passed'],
    ['soak start', 'BAD_TIME', ''],
    ['soak start 90', 'BAD_TIME', '90'],
    ['soak start 0 min', 'BAD_TIME', '0 min'],
    ['temp Q3 160 F', 'BAD_VALUE', '160 F'],
    ['skip look-over', 'NO_WORDS', 'skip look-over'],
    ['skip power-up in a hurry', 'UNKNOWN_CHOICE', 'power-up'],
  ])('"%s" is refused with %s, pointing at "%s"', (text, code, spot) => {
    expect(faultsOf(board, text).map((fault) => fault.code)).toEqual([code]);
    expect(pointedAt(board, text).map((said) => said.trim())).toEqual([spot]);
  });

  it.each([
    ['residul P48 GND 0 V', 'did you mean "residual"?'],
    ['cusomer hums', 'did you mean "customer"?'],
    ['signoff cleared', 'did you mean "sign-off"?'],
    ['tick Q3 fastend', 'did you mean "fastened"?'],
    ['tick Q3 hole clear', 'did you mean "holes clear"?'],
    ['soak pased', 'did you mean "passed"?'],
    ['skip lookover why', 'did you mean "look-over"?'],
    ['sign-off cleard', 'did you mean "cleared"?'],
    ['power 2 pased', 'did you mean "passed"?'],
  ])('"%s" is refused: %s', (text, hint) => {
    expect(faultsOf(board, text).map((fault) => fault.hint)).toEqual([hint]);
  });

  it('starts with a word of the notation, every one of them', () => {
    const own = LINE_WORDS.filter((word) => isJobVerb(word));
    expect(own).toHaveLength(18);
  });
});

describe('nets called like a word of the notation', () => {
  const { board: real } = loadBoard(
    'board: b\nparts:\n  R1: {kind: resistor, ohms: 10, pins: [TEMP, POWER]}\n  C1: {kind: ceramic, farads: 1u, pins: [POWER, GND]}\n',
    'b.yaml',
  );

  it.each([
    'TEMP GND 0.4 ohm',
    'POWER GND beep',
    'temp R1 71 C',
    'power 2 passed',
    'residual POWER GND 3 V',
    'tick R1 tested',
  ])('"%s" is read as it stands', (text) => {
    expect(printSay(real, parseSay(real, text))).toBe(text);
  });
});

describe('a place typed at the bench', () => {
  it.each([
    ['at Q3', 'NOT_WHOLE'],
    ['at Q3 31.5', 'NOT_WHOLE'],
    ['at Q3 31.5 twenty', 'NOT_WHOLE'],
    ['at Q3 31500 20', 'BAD_VALUE'],
    ['at Q3 31.5 20 topp', 'UNKNOWN_CHOICE'],
    ['at Q99 31.5 20', 'UNKNOWN_PART'],
    ['at Q3.X 31.5 20', 'UNKNOWN_PIN'],
  ])('"%s" is refused: %s', (text, code) => {
    expect(faultsOf(board, text).map((fault) => fault.code)).toEqual([code]);
  });
});
