import { expect, test } from 'vitest';
import {
  diodeKind,
  isBridge,
  isOptocoupler,
  isPlainDiode,
  isRegulator,
  transistorKind,
} from '../../../src/board/import/families.ts';

test.each([
  [
    'n-mosfet',
    'IRFP460 IRFZ44N IRFB4110 STP75NF75 P75NF75 FDP8870 IXFH50N60 SPW47N60C3 IPP110N20N AO3400 AOD4184 BUZ11 MTP3055 HUF75345 2SK2698 K2645 CSD19536KTT 2N7002',
  ],
  [
    'p-mosfet',
    'IRF9540N IRFP9240 IRF5210 IRF4905 IRFR9024 2SJ352 AO3401 AOD409 AON7407 FQP27P06 NTD2955 BSS84 NDP6020P',
  ],
  [
    'igbt',
    'FGH60N60SFD IKW40N120 IHW20N120 IRG4PC50 HGTG20N60 STGW30NC60 GT60M303 SGH80N60 SKW25N120 FGD4536',
  ],
  [
    'npn',
    '2N3055 2N2222 PN2222A MMBT3904 BC337 BC847 BD139 BD911 BDX53 TIP31C TIP35C MJE13007 ST13005 BUT11A BU508A MJ15003 2SC5200 C945 D882 KSP42 S8050',
  ],
  [
    'pnp',
    '2N2907 2N3906 BC327 BC857 BD140 BD912 BDX54 TIP32C TIP36C MJ2955 MJ15004 2SA1943 A733 B772 S8550 KSP92',
  ],
  ['scr', 'BT151 TYN612 2N6509 MCR100 TIC106'],
  ['triac', 'BTA16 BT136 MAC97A6 Z0607 T1635 Q6015'],
])('transistors: %s', (kind, numbers) => {
  const wrong = numbers.split(' ').filter((number) => transistorKind(number) !== kind);
  expect(wrong).toEqual([]);
});

test.each([
  ['schottky', '1N5822 SB560 SS34 MBR20100CT VS-20CTQ045 10BQ060 BAT54'],
  ['zener', '1N4744A 1N5231B 1N5349 BZX55C5V1 BZT52C3V3 ZD12V 5V1 15V_1W'],
  ['suppressor', 'P6KE33A 1.5KE400 SMBJ24A SA15A BZW06-26 SRV05-4'],
  ['led', 'LED_RED GREEN 3mm_green LTST-C150'],
])('diodes: %s', (kind, numbers) => {
  const wrong = numbers.split(' ').filter((number) => diodeKind(number) !== kind);
  expect(wrong).toEqual([]);
});

test('plain diodes, and rectifiers that look like zeners', () => {
  const numbers =
    '1N4007 IN4007 1N4148 1N5399 1N5408 UF4007 FR107 MUR460 BYV26 RURG3060 M7 SF56 6A10';
  const wrong = numbers
    .split(' ')
    .filter((number) => !isPlainDiode(number) || diodeKind(number) !== undefined);
  expect(wrong).toEqual([]);
});

test('regulators, optocouplers and bridges', () => {
  expect(
    'LM7805 7905 LM317T AMS1117-3.3 LM340T5 MIC29302'.split(' ').filter((n) => !isRegulator(n)),
  ).toEqual([]);
  expect(
    'PC817 4N35 MOC3021 H11A817 NEC2501 OC817'.split(' ').filter((n) => !isOptocoupler(n)),
  ).toEqual([]);
  expect('KBPC3510 GBU808 DB107 RS407 2KBP06 W04'.split(' ').filter((n) => !isBridge(n))).toEqual(
    [],
  );
});

test.each(['10k', 'LM358', 'NE555', 'CONN_2', 'SW1', 'XTAL', ''])('%j is no transistor', (text) => {
  expect(transistorKind(text)).toBeUndefined();
});
