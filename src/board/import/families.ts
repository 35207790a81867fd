/** Kinds that part-number families stand for, as the trade knows them; the first match counts. */

type Family = readonly [RegExp, string];

const TRANSISTORS: readonly Family[] = [
  [/^(BT1(5[0-2]|45|69)|TYN|C106|2N506[0-4]|MCR|TIC(106|116|126)|X0[1-4])/, 'scr'],
  [/^(BT[AB]\d|BT13[1-9]|MAC\d|Z0[1-4]|TIC2\d\d|T\d{3,4}-)/, 'triac'],
  [
    /^(IX[YGB][HPKABTXRQL]|IK[WPBDQAZ]|IG[WPB]\d|IRG|STG[WPBDFY]|FG[AHPWL]|HGT|NGT|NGB|RJH|GT\d|AOK\d+B|AOT\d+B|STGW)/,
    'igbt',
  ],
  [
    /^(2N(2907|3906|5401|4403|2905)|MMBT(2907|3906|4403|5401|A92|A56)|P?MBT(2907|3906)|BC(85[678]|80[78]|32[78]|55[6-9]|640|869)|BD(136|138|140|238|244)|TIP(32|42|2955|12[567])|MJE(350|2955|15031)|S?S8550|S90(12|15)|MPSA(92|55|56)|P?DTA|FZT[79]|PZT(2907|3906)|KSA|2S[AB]|BC[PX]5[123]|PBSS5)/,
    'pnp',
  ],
  [
    /^(2N(2222|3904|3055|5551|4401|2219)|MMBT(2222|3904|4401|5551|A42|A06)|P?MBT(2222|3904)|BC(84[678]|81[78]|33[78]|54[6-9]|550|63[579]|868)|BD(135|137|139|237|243)|TIP(31|41|3055|12[012])|MJE(340|3055|13\d|15030)|S?S8050|S90(13|14|18)|MPSA(42|13|05|06)|P?DTC|FZT[68]|PZT(2222|3904)|KSC|2S[CD]|BFR|BC[PX]5[456]|PBSS4)/,
    'npn',
  ],
  [
    /^(IRF9|IRF(49|53|54)05|IRF7416|IRLML(6401|6402|2244|2246|5203)|AO34(01|07|15|13)|AO44(03|07|35)|AOD4(03|13|17)|AON74(03|07)|SI23(01|05|07|15|23|33)|SI44(03|35)|BSS84|BSS110|BSP(170|171|250|315|317)|BSH20\d|FD[NV]3(40|38|04|06|02|52)P|DMP|DMG(1013|2301|2305|3415|3401)|NTR[45]1|NTR0202|NX3008P|ZXMP|ZVP|VP\d|TP0610|PMV\d+[XE]P|SQ\w*P$|[A-Z]{2,4}\d+P\d+|IPD\d+P|SUD\d+P|FQP\d+P|STD\d+P|STP\d+P)/,
    'p-mosfet',
  ],
  [
    /^(2N700|BSS1(23|38|39|69)|BS170|BS107|VN\d|ZVN|ZXMN|BUK|BSH1|BSP(89|129|149|295|296)|IRF|IRL|IP[ABDPTWISLZ]\d|BS[CZB]\d|ISC|IAUC|IAUT|PMV|PMN|PSMN|PXN|NX[37]0|AO[DNTBKIW]?\d|SI[RASHEDJLZ]?\d|SI[HR][A-Z]?|SQ[JADMS]|SU[DMPB]\d|ST[PDBWFLYH]\d+N|STL\d|FD[BPSDMCNVAH]|FQ[PADBU]|FC[PHBD]|CSD|DMN|DMG|DMT|DMTH|NT[DMRHKLPBG]|NV[MRTDB]|TPH|TPN|TPW|TK\d|IM[BWZ][GHA]|C[23]M|SCT|NVH|UF3C|RJK|R6\d|2SK|2SJ|IX[FTK][HPKABTXRQNY]|APT|GS6|EPC|XPH|NCE|WSD|WSF|HY\d|CJ\d|\w+\d+N\d+)/,
    'n-mosfet',
  ],
];

/** `n-mosfet`, `npn`, `igbt` …, or undefined for a number of no known family. */
export function transistorKind(partNumber: string): string | undefined {
  return match(TRANSISTORS, partNumber);
}

const DIODES: readonly Family[] = [
  [
    /LED|^(RED|GREEN|BLUE|YELLOW|ORANGE|WHITE|AMBER|WARM|LTST|HV_ORANGE|WS28|SK68|APT?\d{4}|KP-?\d|19-2)/,
    'led',
  ],
  [
    /TVS|SUPPRESS|TRANSIL|^(SM[ABCDF]{1,2}J?\d|SMAJ|SMBJ|SMCJ|SMDJ|SMF\d|SMFJ|SM[68]S|SM712|P[46]KE|P[46]SM|1\.5KE|1V5KE|5KP|ESD|PESD|CDSOD|CDSOT|PGB|SD0?\dC?|SP\d{4}|UCLAMP|RCLAMP|USBLC|TPD\dE|PRTR|LESD|GBLC|D\dV\dL)/,
    'suppressor',
  ],
  [
    /SCHOT|^(DIODESCH|SS[1-9]\d|SS1H|SS\dP|S[KRBLX]\d\d\d?|B[1-3]\d\d|BAT\d|BAS40|BAS70|RB\d{3}|MBR|PMEG|1N58(1[789]|2[0-5])|1N571\d|1N6263|STPS|VSS?\d|VS-\d+[TCW]Q|NRVB|NRVTS|NSR|CUS|CBS|DB2|DB3W|CDBA|CDBU|SCS|SDM|ZLLS|ZHCS|V\d+P|VB\d+|MSS\d|RSX|PDS|SBR|LSM|SD103|BYS|DSS|SL\d|SSA|SSB|SSC\d)/,
    'schottky',
  ],
  [
    /ZENER|^(BZ[XTVGD]|MM3?S?Z|MMBZ|MM5Z|1N4[67]\d\d|1N47|1N52|1N53|DZ\d|DDZ|ZMM|ZM47|UDZ|TFZ|PDZ|ZPD|ZY|PTZ|CMZ|EDZ)|^\d{1,3}([.,]\d+)?V\d?\s*(Z|ZENER)?(\s|$|,)|^\d{1,2}V\d/,
    'zener',
  ],
];

/** `schottky`, `zener`, `suppressor`, `led`; undefined for a plain or unknown diode. */
export function diodeKind(text: string): string | undefined {
  return match(DIODES, text);
}

/** Numbers known to be plain diodes, so that `diode` is no guess. */
export function isPlainDiode(text: string): boolean {
  return /^(1N400\d|1N540\d|1N414\d|1N91[46]|1N444\d|LL4148|BA[SVWX]\d|S[1-9][A-M]\b|[EUR]S\d[A-J]|MUR|MURS|UF\d|HER|FR\d|BY[VTWQ]|RHR|STTH|RURD|MMBD|VS-E|VS-\d+ET|GF1|US1|RS1|ES1|DSE)/i.test(
    text.trim(),
  );
}

/** Three-legged linear regulators. */
export function isRegulator(text: string): boolean {
  return /^(L|LM|MC|UA|NJM|KA|TS|AZ|BA|CJ)?7[89][LMRS]?\d\d|1117|1085|1086|^(AP736|AP221|TC21|TC12|MCP17|HT7[1357]|XC62|RT90|RT91|LM3[13]7|LM35\d|LM10[89]|LM2940|LM2937|LF\d\d|L49|LP29|TLV70|TPS7|ME62|SPX|NCP55|NCV|BA\d\dBC|LD10|LD29|LD39|XC61|S-?812|S-?113|UA78|REG11)/i.test(
    text.trim(),
  );
}

export function isOptocoupler(text: string): boolean {
  return /^(PC8\d\d|PC[14]\d\d|EL8\d\d|LTV|TLP|ACPL-?217|HCPL-?(817|181)|SFH6|PS2[5-8]|FOD8|CNY|4N[23]\d|MOC|VO6\d|VOL|K10|OPIA|IS\d\d|TCMT|TCET|TCLT|CPC1)/i.test(
    text.trim(),
  );
}

export function isBridge(text: string): boolean {
  return /^(KB[ULPJP]|GB[ULJPK]|DF\d|MB\d|MBS|DB10\d|DBS|ABS|MDB|B\d+C\d+|BR\d|RB1\d\d|2W\d|W0\d|PB\d)|BRIDGE/i.test(
    text.trim(),
  );
}

function match(families: readonly Family[], text: string): string | undefined {
  const upper = text.trim().toUpperCase();
  return families.find(([pattern]) => pattern.test(upper))?.[1];
}
