/**
 * What the commands show, for the library's face: a `view…` turns board numbers into names once, a
 * `…Lines` lays a view out for a width and a palette and adds no facts.
 */
export { type AdviceView, adviceLines, viewAdvice } from './advice.ts';
export {
  type CautionsView,
  type ChargeView,
  cautionLines,
  shortCautionLines,
  viewCautions,
} from './cautions.ts';
export { type ChangeView, changeLines, viewChange } from './change.ts';
export { type CheckView, checkLines, viewCheck } from './check.ts';
export {
  type ComparisonView,
  type ContradictionView,
  comparisonLines,
  type PairView as ComparedPairView,
  viewComparison,
} from './comparison.ts';
export { diagnosisLines } from './diagnosis.ts';
export {
  type ClearedView,
  type DiagnosisView,
  type DoubtfulView,
  type FaultSetView,
  type FaultView,
  type SuspectView,
  viewDiagnosis,
} from './diagnosis-view.ts';
export { type DrillView, drillLines, viewDrill } from './drill.ts';
export {
  type InsteadView,
  type PairView,
  type PartView,
  pairLines,
  partLines,
  type ReadingView,
  viewPair,
  viewPart,
  type WayLinkView,
} from './explain.ts';
export { gateLines } from './gates.ts';
export { graphSvg } from './graph/svg.ts';
export { viewGraph } from './graph/view.ts';
export {
  doubtLines,
  type InjectedView,
  type InjectionView,
  injectionCautionLines,
  injectionLines,
  viewInjection,
} from './injection.ts';
export { ledgerLine } from './ledger.ts';
export { mapLines } from './mapping/lines.ts';
export {
  type ContactView,
  type MapConflictView,
  type MapView,
  type ProgressView,
  type SweepView,
  viewMap,
} from './mapping/view.ts';
export { modelDocument } from './memory/document.ts';
export { type ModelView, viewModel } from './memory/model-view.ts';
export { type MemoryView, memoryLines, modelRow } from './memory/models.ts';
export {
  type CalibrationView,
  calibrationLines,
  meterLines,
  meterTableLines,
  viewCalibration,
} from './meter.ts';
export { netLines } from './name-pages.ts';
export { searchNames } from './name-search.ts';
export { type OverviewView, overviewLines, viewOverview } from './overview.ts';
export { cautionsOf as powerCautions, duringStop, stopConditions } from './power-cautions.ts';
export { powerLines } from './power-lines.ts';
export {
  type FeedView,
  type PoweredView,
  type PowerView,
  type ReadView,
  type StageView as PowerStageView,
  type StepView as PowerStepView,
  viewPowerPlan,
} from './power-plan.ts';
export {
  type RecheckPairView,
  type RecheckPartView,
  type RecheckView,
  recheckLines,
  type SeenView,
  type ToReadView,
  viewRecheck,
} from './recheck.ts';
export {
  type ReferenceProbeView,
  type ReferenceView,
  referenceLines,
  viewReference,
} from './reference.ts';
export { repairCsv } from './repair/csv.ts';
export { repairLines } from './repair/lines.ts';
export type { RepairView } from './repair/model.ts';
export { viewRepair } from './repair/view.ts';
export { type ShelfView, shelfLines, sortedShelf } from './shelf.ts';
export { type SettingView, type ShopView, shopLines, viewShop } from './shop.ts';
export { type SkeletonView, skeletonLines, viewSkeleton } from './skeleton-list.ts';
export { isOn as isSoakOn, type SoakView, viewSoak, type WatchView } from './soak.ts';
export { soakLines } from './soak-lines.ts';
export {
  type NextView,
  type StageView,
  type StandingView,
  stageLines,
  taskLines,
  viewNext,
  viewStanding,
  warningLines,
} from './standing.ts';
export { type CallView, viewCall } from './step-for-programs.ts';
export { type ProbeView, type StepView, viewStep } from './step-view.ts';
export type { TaskView } from './task-told.ts';
export { type ReflowView, type TouchUpView, touchUpLines, viewTouchUp } from './touch-up.ts';
export { residualLine, unmeasuredLines } from './unmeasured.ts';
export { viewWhatIf, type WhatIfView, whatIfLines } from './what-if.ts';
export {
  type PricedPartView,
  viewWorth,
  type WorthView,
  worthLines,
  worthWarningLines,
} from './worth.ts';
