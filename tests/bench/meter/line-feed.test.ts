import { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import type { FeedEvent } from '../../../src/bench/meter/feed.ts';
import { LineFeed } from '../../../src/bench/meter/line-feed.ts';
import { isMeterPlace, parseMeterPlace } from '../../../src/bench/meter/place.ts';

function open(): { source: PassThrough; feed: LineFeed; heard: FeedEvent[] } {
  const source = new PassThrough();
  const feed = new LineFeed(source, 'the meter on /dev/ttyX\u001b[2J');
  const heard: FeedEvent[] = [];
  feed.listen((event) => heard.push(event));
  return { source, feed, heard };
}

const soon = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, 10));

describe('a stream of readings', () => {
  it('gives a sample for each line, in the mode that is wanted, and nothing while none is', async () => {
    const { source, feed, heard } = open();
    source.write('0.1 OHM\n');
    await soon();
    feed.want('ohms');
    source.write('0.412 OHM\r\nOL\r\n1.23');
    source.write('4E+01\n');
    await soon();
    const samples = heard.flatMap((event) => (event.kind === 'sample' ? [event.sample] : []));
    expect(samples).toEqual([
      { kind: 'figure', number: 0.412 },
      { kind: 'over' },
      { kind: 'figure', number: 12.34 },
    ]);
    expect(heard.filter(({ kind }) => kind === 'vouch')).toHaveLength(3);
    expect(feed.status.state).toBe('ready');
  });

  it('says so when the meter is set to something else, and does not count it', async () => {
    const { source, feed, heard } = open();
    feed.want('continuity');
    source.write('0.52 V\n');
    await soon();
    expect(feed.status).toMatchObject({ state: 'complains' });
    expect(feed.status.text).toMatch(/shows volts, set it to ohms/);
    expect(heard.some(({ kind }) => kind === 'sample')).toBe(false);
  });

  it('tolerates garbage, and shows none of it that a terminal would obey', async () => {
    const { source, feed } = open();
    feed.want('ohms');
    source.write('\u001b[2J\u0007#!\n');
    await soon();
    expect(feed.status.text).toMatch(/is no reading/);
    expect(feed.status.text).not.toMatch(/\p{Cc}/u);
    source.write('3.3\n');
    await soon();
    expect(feed.status.state).toBe('ready');
  });

  it('says that it has ended', async () => {
    const { source, feed } = open();
    source.end();
    await soon();
    expect(feed.status).toMatchObject({ state: 'ended' });
    expect(feed.status.text).toMatch(/type what the meter shows/);
  });
});

describe('where a meter answers', () => {
  it.each([
    ['tcp://10.0.0.7', { kind: 'scpi', host: '10.0.0.7', port: 5025 }],
    ['tcp://bench.lan:5555', { kind: 'scpi', host: 'bench.lan', port: 5555 }],
    ['tcp://[::1]:5025/', { kind: 'scpi', host: '::1', port: 5025 }],
    ['-', { kind: 'input' }],
    ['lines:/dev/ttyUSB0', { kind: 'device', path: '/dev/ttyUSB0' }],
  ])('%s', (word, place) => {
    expect(isMeterPlace(word)).toBe(true);
    expect(parseMeterPlace(word)).toEqual(place);
  });

  it.each([
    'tcp://',
    'tcp:bench',
    'tcp://host:0',
    'tcp://host:99999',
    'tcp://host/x',
    'lines:',
    'http://host',
  ])('refuses %s and says what to write', (word) => {
    expect(() => parseMeterPlace(word)).toThrow(/does not say where a meter answers/);
  });

  it('takes names of meters and files for no place', () => {
    for (const word of ['bench meter', 'meters.yaml:ours', './tcp', 'C:\\meter.yaml']) {
      expect(isMeterPlace(word)).toBe(false);
    }
  });
});
