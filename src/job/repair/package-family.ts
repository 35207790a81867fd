/** Which sort of body a part has, from its kind and what the board file calls its package. */
import type { Part } from '../../board/model.ts';
import { mountOf } from '../../steps/bench-times.ts';

/** Bodies that carry their orientation in the same way. */
export type Family =
  | 'can, leaded'
  | 'can, surface mount'
  | 'can, axial'
  | 'tantalum chip'
  | 'tantalum bead'
  | 'diode, leaded'
  | 'diode, surface mount'
  | 'lamp, leaded'
  | 'lamp, surface mount'
  | 'bridge'
  | 'three-leg tab'
  | 'two-leg tab'
  | 'tab, surface mount'
  | 'three-leg small'
  | 'three-leg round'
  | 'in-line rows'
  | 'pins on four sides'
  | 'pads underneath'
  | 'either way round'
  | 'own pins';

/** How a part's legs meet the board; `not known` where the board file gives no package that tells. */
export type Legs = 'holes' | 'surface' | 'not known';

const SURFACE =
  /Metric|SMD|SMT|CP_Elec|EIA-?\d|shielded|QFP|QFN|DFN|SON\b|SOIC|SSOP|MSOP|SO-?\d|SOP|SOT|SOD|SC-?70|MELF|PowerDI|DPAK|D2PAK|TO-?25[2-9]|TO-?263|LFPAK|PowerPAK|BGA|PLCC|(^|[^0-9])(01005|0201|0402|0603|0805|1206|1210|1808|1812|2010|2220|2512|2725|2726|2728|3920|4020|4026|5930)([^0-9]|$)|\bSM[ABC]\b|^case [A-EVX]$/i;
const HOLES =
  /radial|axial|TO-?(3P|92|126|218|220|247|264)|DIP|SIP|disc|\bbox\b|DO-?\d|wire|THT|HC-?49|KB[PUL]|GBU|GBJ|\bTH\b|^(3|5|8) mm$|_P\d+\.\d+mm|stud|screw terminal|holder|\d-way|rod core|ETD|UU\d|EE\d|bolt/i;

/** Through holes, on the surface, or not told. */
export function legsOf(part: Part): Legs {
  const text = part.package;
  if (text === undefined) return 'not known';
  if (SURFACE.test(text)) return 'surface';
  if (HOLES.test(text)) return 'holes';
  const mount = mountOf(part);
  return mount === 'link' || mount === 'two leads' || mount === 'three leads' || mount === 'tab'
    ? 'not known'
    : mount === 'many leads'
      ? 'not known'
      : 'surface';
}

const AXIAL = /axial/i;
const TAB = /TO-?(218|220|247|264|3P)/i;
const SURFACE_TAB = /DPAK|D2PAK|TO-?25[2-9]|TO-?263/i;
const ROUND = /TO-?92/i;
const SMALL = /SOT-?(23|89|323|223|346)|SC-?(59|70)/i;
const FOUR_SIDES = /QFP|PLCC/i;
const UNDERNEATH = /QFN|DFN|SON\b|BGA|LGA|LFPAK|PowerPAK|WSON|CSP/i;

/** The family of a part; `own pins` where only its own drawing or data sheet tells. */
export function familyOf(part: Part): Family {
  const { kind } = part;
  const surface = legsOf(part) === 'surface';
  switch (kind.name) {
    case 'electrolytic':
      if (AXIAL.test(part.package ?? '')) return 'can, axial';
      return surface ? 'can, surface mount' : 'can, leaded';
    case 'tantalum':
      return legsOf(part) === 'holes' ? 'tantalum bead' : 'tantalum chip';
    case 'led':
      return surface ? 'lamp, surface mount' : 'lamp, leaded';
    case 'bridge-rectifier':
      return 'bridge';
    case 'diode':
    case 'schottky':
    case 'zener':
    case 'suppressor':
      return diodeFamily(part, surface);
    default:
      return kind.symmetric || kind.link ? 'either way round' : bodyFamily(part);
  }
}

function diodeFamily(part: Part, surface: boolean): Family {
  const text = part.package ?? '';
  if (TAB.test(text)) return part.pins.length === 2 ? 'two-leg tab' : 'three-leg tab';
  if (SURFACE_TAB.test(text)) return 'tab, surface mount';
  if (SMALL.test(text)) return 'three-leg small';
  return surface ? 'diode, surface mount' : 'diode, leaded';
}

function bodyFamily(part: Part): Family {
  const text = part.package ?? '';
  if (TAB.test(text)) return 'three-leg tab';
  if (SURFACE_TAB.test(text)) return 'tab, surface mount';
  if (ROUND.test(text)) return 'three-leg round';
  if (UNDERNEATH.test(text)) return 'pads underneath';
  if (FOUR_SIDES.test(text)) return 'pins on four sides';
  if (SMALL.test(text) && part.pins.length === 3) return 'three-leg small';
  const isChip = part.kind.name === 'ic' || part.kind.name === 'optocoupler';
  return isChip || /DIP|SO-?\d|SOIC|SOP|SOT/i.test(text) ? 'in-line rows' : 'own pins';
}
