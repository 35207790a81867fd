/**
 * The library's face: everything the command does can be done from code.
 *
 * A board comes from {@link loadBoard}; readings and changes are lines of the notation
 * ({@link parseSay}), kept in a job record ({@link createJob}, {@link append}) or in memory
 * ({@link deriveJob}); {@link openWorkbench}, {@link analyse} and {@link advise} turn them into a
 * diagnosis and the next step.
 *
 * @packageDocumentation
 */

export { type Ear, type EarSettings, FRESH_EAR, hear } from './bench/meter/ear.ts';
export type { FeedEvent, FeedStatus, MeterFeed, Sample } from './bench/meter/feed.ts';
export { LineFeed } from './bench/meter/line-feed.ts';
export { type Listening, listenFor } from './bench/meter/listen.ts';
export { openScpi } from './bench/meter/open-scpi.ts';
export type { ScpiPlace } from './bench/meter/scpi-link.ts';
export type { ScpiTimes } from './bench/meter/scpi-meter.ts';
export { meterCatalogue } from './bench/meter-catalogue.ts';
export { joinReadings, type ReadingsFile, readReadings } from './bench/readings-file.ts';
export { SimulatedBench, type SimulationOptions } from './bench/simulated-bench.ts';
export { type Diagnostic, InputError, type Place } from './board/diagnostic.ts';
export { writeInto } from './board/file-edits.ts';
export { renderDiagnostic } from './board/frame.ts';
export { grownBoard } from './board/grown-board.ts';
export type { Growth } from './board/growth.ts';
export { type Imported, importBoard } from './board/import/index.ts';
export { loadBoard } from './board/load.ts';
export type { Board, BoardCopper, Kind, Net, NetCopper, Part, Pin, Rail } from './board/model.ts';
export { LINE_WORDS } from './board/names.ts';
export { type Overview, overview } from './board/overview.ts';
export { partListOf } from './board/part-list/from-board.ts';
export type { ListedPart, ListedPin, PartList } from './board/part-list/part-list.ts';
export { readList } from './board/part-list/read-list.ts';
export { type Placing, placedBoard } from './board/placed-board.ts';
export { boardSchema } from './board/schema.ts';
export { printAnswer, readAnswer } from './board/skeletons/question.ts';
export type { Skeleton } from './board/skeletons/skeleton.ts';
export {
  questionsOf,
  readSettings,
  SKELETONS,
  type SkeletonBoard,
  skeletonBoard,
  skeletonNamed,
} from './board/skeletons/skeleton-board.ts';
export { type StoredEnergy, storedEnergy } from './board/stored-energy.ts';
export { unifiedDiff } from './board/text-diff.ts';
export { COMMON_HANDHELD, type Meter } from './circuit/meter.ts';
export { type Calibration, calibrate } from './circuit/meter-calibration.ts';
export { figuresOf, meterFrom, printMeter } from './circuit/meter-figures.ts';
export { loadMeters } from './circuit/meter-file.ts';
export { meterSchema } from './circuit/meter-schema.ts';
export { readTrials } from './circuit/meter-trials.ts';
export type {
  Injection,
  MeterMode,
  Point,
  Probe,
  Reading,
  ReadingValue,
} from './circuit/reading.ts';
export type { Settling } from './circuit/settling.ts';
export { AS_FOUND, type BoardState } from './circuit/state.ts';
export type { Diagnosis, FaultName, FaultSet, Suspect } from './faults/diagnosis.ts';
export type { Evidence, Look, LookFinding, TakenReading, Unreachable } from './faults/evidence.ts';
export type { GoodReading } from './faults/good-board.ts';
export { DEFAULT_FAULT_SETTINGS, type FaultSettings } from './faults/settings.ts';
export type { Progress, Sliced } from './faults/sliced.ts';
export { type CompareOptions, type Comparison, compareReadings } from './job/compare.ts';
export { admit, boardOf, type DerivedJob, deriveJob, extendJob } from './job/derive.ts';
export { type Charge, chargesOf, unreadBefore } from './job/discharge.ts';
export { DEFAULT_DISCHARGE_LIMITS, type DischargeLimits } from './job/discharge-limits.ts';
export { type FunctionState, functionStates } from './job/function-checks.ts';
export { type Gate, gates } from './job/gates.ts';
export { type Glance, glance } from './job/glance.ts';
export {
  type InjectionAdvice,
  type InjectionDoubt,
  injectionAdvice,
  injectionDoubts,
} from './job/injection/advice.ts';
export type { JobFacts } from './job/job-facts.ts';
export { type LedgerEntry, ledgerText } from './job/ledger.ts';
export { type LookItem, lookOver } from './job/look-over.ts';
export { mappedBoardText } from './job/mapping/board-text.ts';
export type { Told } from './job/mapping/counted.ts';
export { type MappedNet, type MappedNets, mappedNets } from './job/mapping/nets.ts';
export {
  type MapEvent,
  type MapNames,
  type MapSay,
  parseMapSay,
  printMapSay,
} from './job/mapping/say.ts';
export { type MapConflict, type MapCounts, MapSession } from './job/mapping/session.ts';
export { checkBoard } from './job/match-board.ts';
export { type Address, readAddress } from './job/memory/database/address.ts';
export { Link, type LinkOptions } from './job/memory/database/link.ts';
export { type Prepared, prepareDatabase } from './job/memory/database/prepare.ts';
export { type ShopMemory, type ShopStore, shopStore } from './job/memory/database/shop-store.ts';
export type { MemoryFigures } from './job/memory/figures.ts';
export { type FolderMemory, type FolderStore, folderStore } from './job/memory/folder-store.ts';
export { type KindFit, kindFits } from './job/memory/kind-fit.ts';
export { type LearnFor, type LearnFrom, learn, learnOf } from './job/memory/learn.ts';
export { jobId, type Lesson, type LessonFacts, lessonOf } from './job/memory/lesson.ts';
export {
  byModel,
  type Corrections,
  goesBy,
  modelName,
  NO_CORRECTIONS,
} from './job/memory/models.ts';
export { nameless } from './job/memory/nameless.ts';
export { DEFAULT_MEMORY_RULES, type MemoryRules } from './job/memory/rules.ts';
export { memorySettings } from './job/memory/settings.ts';
export type { BoardName, MemoryStore, ModelSummary } from './job/memory/store.ts';
export { parseSay, parseSayUnder, type SaidUnder } from './job/notation.ts';
export { parsePoint, printPin, printPoint } from './job/points.ts';
export { type PowerPlan, powerPlan } from './job/power-plan.ts';
export { powerStages, type StageProgress } from './job/power-progress.ts';
export { printReading, printSay } from './job/print-say.ts';
export { type HealthyParts, type Recheck, recheck } from './job/recheck.ts';
export {
  append,
  closeJob,
  continueJob,
  createJob,
  type JobEvent,
  type JobHandle,
  openJob,
  type RawJob,
} from './job/record.ts';
export { groundOf, isReference, type ReferenceProbe, referenceProbes } from './job/reference.ts';
export { reflowWork } from './job/reflow-work.ts';
export { repairList } from './job/repair/list.ts';
export type { RepairItem, RepairList } from './job/repair/model.ts';
export type { Reached, Say } from './job/say.ts';
export { piecesUsed, stagesAhead, waysAhead } from './job/shop/ahead.ts';
export { type PriceList, readPriceList } from './job/shop/price-list.ts';
export { type PriceBook, priceBook } from './job/shop/prices.ts';
export { printShop } from './job/shop/print-shop.ts';
export {
  checksFor,
  DEFAULT_SHOP,
  faultSettingsOf,
  type Shop,
  stepSettingsOf,
} from './job/shop/shop.ts';
export { changedDoubts } from './job/shop/shop-figures.ts';
export { doubtsFrom, loadShop } from './job/shop/shop-file.ts';
export { shopSchema } from './job/shop/shop-schema.ts';
export { type Worth, worthOf } from './job/shop/worth.ts';
export { type SoakState, soakState } from './job/soak.ts';
export { type WorkStage, workStages } from './job/stage-of.ts';
export { checkStage, type Keeper } from './job/stage-refusals.ts';
export { type Stage, type StagePlan, stagePlan } from './job/stages.ts';
export { type FittedTab, fittedTabs } from './job/tabs.ts';
export type { Task } from './job/task.ts';
export { type TimeSpent, timeSpent } from './job/time-spent.ts';
export { type TouchUp, touchUp } from './job/touch-up.ts';
export { mayBeUnderPower } from './job/under-power.ts';
export { type MeterValue, parseValue, printValue } from './job/value.ts';
export { jobFacts, jobKeeper, unmeasuredCharges, type WholeJob } from './job/whole-job.ts';
export * from './report/face.ts';
export type { GraphView } from './report/graph/model.ts';
export { type Seed, seedNamed } from './report/graph/near.ts';
export { graphSvg } from './report/graph/svg.ts';
export { viewGraph } from './report/graph/view.ts';
export type { PictureView } from './report/picture/model.ts';
export { railNamed } from './report/picture/rail-named.ts';
export { pictureSvg } from './report/picture/svg.ts';
export { pictureLines } from './report/picture/text.ts';
export { viewPicture } from './report/picture/view.ts';
export { sheetDocument } from './report/sheet/document.ts';
export { sheetHtml } from './report/sheet/html.ts';
export { sheetMarkdown } from './report/sheet/markdown.ts';
export { sheetLines } from './report/sheet/text.ts';
export { type SheetView, viewSheet } from './report/sheet/view.ts';
export { NO_COLOUR, type Style } from './report/style.ts';
export { whereLines } from './report/where/lines.ts';
export { type WhereView, wherePart, wherePoint, whereProbe } from './report/where/view.ts';
export type { Analysis, Workbench, WorkbenchOptions } from './steps/advise.ts';
export {
  advise,
  analyse,
  analysing,
  healthyBoard,
  isClear,
  isHealthyBeep,
  openWorkbench,
} from './steps/advise.ts';
export { explainPair, type PairExplanation } from './steps/explain-pair.ts';
export { explainPart, type PartExplanation } from './steps/explain-part.ts';
export { type Foreseen, foresee } from './steps/foresee.ts';
export { holdFor } from './steps/hold.ts';
export { type Instead, insteadOf } from './steps/instead.ts';
export type { MapFigures } from './steps/mapping/figures.ts';
export type { Contact, Sweep } from './steps/mapping/next-sweep.ts';
export { healthyLegOhms } from './steps/own-legs.ts';
export { DEFAULT_STEP_SETTINGS, type StepSettings } from './steps/settings.ts';
export type { Advice, Outcome, Step } from './steps/step.ts';
export type { StepTarget } from './steps/step-key.ts';
export { type WhatIf, whatIf } from './steps/what-if.ts';
