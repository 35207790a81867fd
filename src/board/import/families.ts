/** Kinds that part-number families stand for, as the trade knows them; the first match counts. */

type Family = readonly [RegExp, string];

/** One expression out of several, all from the start of the number. */
function from(...patterns: string[]): RegExp {
  return new RegExp(`^(?:${patterns.join('|')})`);
}

const THYRISTORS: readonly Family[] = [
  [
    from(
      'BT1(5[0-2]|45|69)',
      'TYN',
      'C106',
      '2N(506|640|650)\\d',
      'MCR',
      'TIC(106|116|126)',
      'X0[1-4]',
    ),
    'scr',
  ],
  [
    from(
      'BT[AB]\\d',
      'BT13[1-9]',
      'MAC\\d',
      'Z0\\d{3}',
      'TIC2\\d\\d',
      'T\\d{3,4}-',
      'T(4|6|8|10|12|16|20|25)[0-3]5',
      'Q[2468]0\\d\\d',
    ),
    'triac',
  ],
];

/** Before MOSFETs, whose numbers are built alike. */
const IGBTS: Family = [
  from(
    'IX[YGBX][HPKABTXRQL]',
    'I[KH][WPBDQAZY]\\d',
    'IG[WPB]\\d',
    'IRG',
    'STG[A-Z]*\\d',
    'FG[A-Z]{1,3}\\d',
    'S[GK][HPWRUB]\\d+N\\d+',
    'G\\d+N\\d+',
    'HGT',
    'NGT',
    'NGB',
    'RJ[HP]\\d',
    'GT\\d',
    'AOK\\d+B',
    'AOT\\d+B',
    'BUP\\d',
    'APT\\d+G',
  ),
  'igbt',
];

/** Numbers that one pair of transistors has with many makers, whatever letters stand before them. */
const MAKERS = '(2N|PN|MMBT|PMBT|MPS|KST|SMBT|CMPT|PZT|FMMT)';
const HIGH_VOLTAGE = '(MPSA|KSP|KST|MMBTA|PZTA|SMBTA|FMMTA|CMPTA)';

const BIPOLARS: readonly Family[] = [
  [
    from(
      `${MAKERS}(2907|3906|4403|5401|5400|2905|4033|5087|6491|4125|A92|A56)`,
      `${HIGH_VOLTAGE}(92|93|94|55|56|63|64)`,
      'BC(16[01]|17[7-9]|21[2-4]|30[7-9]|32[78]|369|41[56]|516|55[6-9]|560|63[68]|640|80[78]|85[6-9]|860|869)',
      'BC[PX]5[123]',
      'BD[A-Z]?\\d+[02468](?!\\d)',
      'BF(42[13]|870|872)',
      'TIP(30|32|34|36|42|2955|11[567]|12[567]|14[567])',
      'MJL?(1500[24]|15016|15023|15025|21193|21195|2955|4502|11015|11033)',
      'MJE(350|2955|253|172|70[0-3]|15029|15031|15033)',
      'S?S8550',
      'S90(12|15)',
      'P?DT[AB]\\d',
      'FZT[79]',
      'ZTX[2579]',
      'FMMT[57]',
      'K[ST][AB]\\d',
      '2S[AB]',
      'PBSS5',
      '[AB]\\d{3,4}[A-Z]{0,2}$',
    ),
    'pnp',
  ],
  [
    from(
      `${MAKERS}(2222|3904|4401|4410|5551|5550|2219|3053|3055|3773|2369|5088|5089|2102|6488|4124|1711|1613|A42|A06)`,
      `${HIGH_VOLTAGE}(42|43|44|05|06|13|14|18)`,
      'BC(10[7-9]|14[01789]|16[789]|18[2-4]|23[7-9]|33[78]|368|41[34]|517|54[6-9]|550|618|63[579]|81[78]|84[6-9]|850|868)',
      'BC[PX]5[456]',
      'BD[A-Z]?\\d+[13579](?!\\d)',
      'BF(42[02]|45[789]|869|871)',
      'BU(\\d{3}|[TXLVHWF]\\d)',
      'TIP(29|31|33|35|41|4[789]|50|3055|11[012]|12[012]|14[012])',
      'MJL?(1500[13]|15015|15022|15024|21194|21196|802|11016|11032)',
      'MJE(340|3055|243|182|80[0-3]|13\\d|15028|15030|15032)',
      '[A-Z]{0,3}1300[1-9]',
      'S?S8050',
      'S90(13|14|18)',
      'P?DT[CD]\\d',
      'FZT[68]',
      'ZTX[3468]',
      'FMMT[46]',
      'K[ST][CD]\\d',
      '2S[CD]',
      'BFR',
      'PBSS4',
      '[CD]\\d{3,4}[A-Z]{0,2}$',
    ),
    'npn',
  ],
];

const MOSFETS: readonly Family[] = [
  [
    from(
      'IRF[A-Z]{0,2}(9|4905|5210|5305|5410|5505|621[58]|7416|7404|7406|7410|7424)',
      'IRLML(6401|6402|2244|2246|5203)',
      // Of these series odd numbers are p-channel.
      'AOD4\\d[13579]',
      'AON?[3-7]4\\d[13579]',
      'SI23(01|05|07|15|23|33)',
      'SI44(03|35)',
      'BSS84',
      'BSS110',
      'BSP(170|171|250|315|317)',
      'BSH20\\d',
      'FD[NVC]3?(40|38|04|06|02|58)\\d*P',
      'ND[PST]\\d+P',
      'DMP',
      'DMG(1013|2301|2305|3415|3401)',
      'NTR[45]1',
      'NTR0202',
      'NTD2955',
      'MTP2955',
      'TPC81',
      'NX3008P',
      'ZXMP',
      'ZVP',
      'VP\\d',
      'TP0610',
      'PMV\\d+[XE]P',
      'SQ\\w*P$',
      '2SJ',
      '[A-Z]{2,4}\\d+P\\d+',
    ),
    'p-mosfet',
  ],
  [
    from(
      '2N700',
      'BSS1(23|38|39|69)',
      'BS170',
      'BS107',
      'VN\\d',
      'ZVN',
      'ZXMN',
      'BUK',
      'BUZ',
      'BSH1',
      'BSP(89|129|149|295|296)',
      'IRF',
      'IRL',
      'IP[ABDPTWISLZ]\\d',
      'BS[CZB]\\d',
      'ISC',
      'IAUC',
      'IAUT',
      'PMV',
      'PMN',
      'PSMN',
      'PXN',
      'NX[37]0',
      'AO[DNTBKIW]?\\d',
      'SI[RASHEDJLZ]?\\d',
      'SI[HR][A-Z]?',
      'SQ[JADMS]',
      'SU[DMPB]\\d',
      'ST[PDBWFLYH]\\d+N',
      'STL\\d',
      'FD[BPSDMCNVAH]',
      'FQ[PADBU]',
      'FC[PHBD]',
      'CSD',
      'DMN',
      'DMG',
      'DMT',
      'NT[DMRHKLPBG]',
      'NV[MRTDB]',
      'TPH',
      'TPN',
      'TPW',
      'TK\\d',
      'IM[BWZ][GHA]',
      'C[23]M',
      'SCT',
      'NVH',
      'UF3C',
      'RJK',
      'R6\\d',
      '2SK',
      'K\\d{3,4}[A-Z]{0,2}$',
      'IX[FTK][HPKABTXRQNY]',
      'APT',
      'GS6',
      'EPC',
      'XPH',
      'NCE',
      'WSD',
      'WSF',
      'OSG',
      'HUF',
      'HY\\d',
      'CJ\\d',
      'MT[PWBD]\\d+',
      'NP\\d+N',
      '[A-Z]?\\d+N[FMK]\\d+',
      '\\w+\\d+N\\d+',
    ),
    'n-mosfet',
  ],
];

const TRANSISTORS: readonly Family[] = [...THYRISTORS, IGBTS, ...BIPOLARS, ...MOSFETS];

/** `n-mosfet`, `npn`, `igbt` …, or undefined for a number of no known family. */
export function transistorKind(partNumber: string): string | undefined {
  return match(TRANSISTORS, partNumber);
}

const DIODES: readonly Family[] = [
  [
    /LED|(^|[\s_-])(RED|GREEN|BLUE|YELLOW|ORANGE|WHITE|AMBER)([\s_-]|$)|^(WARM|LTST|HSM[GHYRAC]|WS28|SK68|APT?\d{4}|KP-?\d|19-2)/,
    'led',
  ],
  [
    /TVS|SUPPRESS|TRANSIL|^(SM[ABCDF]{1,2}J?\d|SMAJ|SMBJ|SMCJ|SMDJ|TPSM|SMF\d|SMFJ|SM[68]S|SM712|P[46]KE|P[46]SM|1\.5KE|1V5KE|5KP|BZW0|SA\d+(\.\d)?C?A|ESD|PESD|CDSOD|CDSOT|PGB|SD0?\dC?|SP\d{4}|SP0\d|SRV0|SRDA|UCLAMP|RCLAMP|USBLC|TPD\dE|PRTR|LESD|GBLC|D\dV\dL)/,
    'suppressor',
  ],
  [
    /SCHOT|^(DIODESCH|SS[1-9]\d|SS1H|SS\dP|S[KRBLX]\d\d\d?|B[1-3]\d\d|BAT\d|BAS40|BAS70|RB\d{3}|MBR|PMEG|1N58(1[789]|2[0-5])|1N571\d|1N6263|STPS|VSS?\d|(VS-)?\d+(C[TP]Q|[TWBC]Q)\d|NRVB|NRVTS|NSR|CUS|CBS|DB2|DB3W|CDBA|CDBU|SCS|SDM|ZLLS|ZHCS|V\d+P|VB\d+|MSS\d|RSX|PDS|SBR|LSM|SD103|BYS|DSS|SL\d|SSA|SSB|SSC\d)/,
    'schottky',
  ],
  [
    /ZENER|^(BZ[XTVGDYW]|MM3?S?Z|MMBZ|MM5Z|1N4[67]\d\d|1N52\d\d|1N53[3-8]\d|DZ\d|DDZ|ZD\d|ZMM|ZM47|UDZ|TFZ|TZX|PDZ|ZPD|ZPY|ZY|PTZ|CMZ|EDZ)|^\d{1,3}([.,]\d+)?V\d?\s*(Z|ZENER)?([\s_]|$|,)|^\d{1,2}V\d/,
    'zener',
  ],
];

/** `schottky`, `zener`, `suppressor`, `led`; undefined for a plain or unknown diode. */
export function diodeKind(text: string): string | undefined {
  return match(DIODES, text);
}

/** Numbers known to be plain diodes, so that `diode` is no guess. */
export function isPlainDiode(text: string): boolean {
  return /^([1I]N400\d|1N540\d|1N539\d|[1I]N414\d|1N91[46]|1N444\d|LL4148|1S1588|1SS\d{3}|BA[SVWX]\d|BA15\d|S[1-9][A-M]\b|M[1-7]$|GS1[A-M]|[EUR]S\d[A-J]|MUR|MURS|UF\d|HER|FR\d|SF\d\d|RL20\d|RG[PM]\d|EG[PM]\d|(6|10)A\d|P600|BY[VTWQX]|BY\d{3}|R[HU]R[A-Z]?\d|RHRP|STT[AH]|RURD|HFA\d|FF[PAH]F?\d|MMBD|VS-E|VS-\d+ET|GF1|US1|RS1|ES1|DSE)/i.test(
    text.trim(),
  );
}

/** Three-legged linear regulators. */
export function isRegulator(text: string): boolean {
  return /^(L|LM|MC|UA|NJM|KA|TS|AZ|BA|CJ)?7[89][LMRS]?\d\d|1117|108[345]\b|1086|^(AP736|AP221|TC21|TC12|MCP17|HT7[1357]|XC62|RT90|RT91|LM3[13]7|LM340|LM35\d|LM10[89]|LT108|LM2940|LM2937|LF\d\d|L49|LP29|TLV70|TPS7|ME62|MIC29|MIC52|SPX|NCP55|NCV|BA\d\dBC|LD10|LD29|LD39|XC61|S-?812|S-?113|UA78|REG11)/i.test(
    text.trim(),
  );
}

export function isOptocoupler(text: string): boolean {
  return /^(PC8\d\d|PC[1349]\d\d|EL8\d\d|LTV|TLP|ACPL-?217|HCPL-?(817|181)|SFH6|(NEC|PS)2[5-8]|FOD8|HMHA|H11[A-L]|CNY|4N[23]\d|MOC|VO6\d|VOL|KP?10|OC8|OPIA|ISP?\d|TCMT|TCET|TCLT|CPC1)/i.test(
    text.trim(),
  );
}

export function isBridge(text: string): boolean {
  return /^(\d?KB[ULPJ]|GB[ULJPK]|GSIB|DF\d|MB\d|MBS|DB10\d|DBS|ABS|MDB|B\d+C\d+|BR\d|R[SB]\d{3,4}M?$|RBV|D\d+[XS]B|TS\d+P|2W\d|W0\d|PB\d)|BRIDGE/i.test(
    text.trim(),
  );
}

function match(families: readonly Family[], text: string): string | undefined {
  const upper = text.trim().toUpperCase();
  return families.find(([pattern]) => pattern.test(upper))?.[1];
}
