// The bench's part of the interface.
import { address, call, get, post, upload, type Units } from './api';
import type {
  BenchView,
  ExpectedView,
  FoundView,
  GradeView,
  Imported,
  InspectionBody,
  InspectionView,
  KeptLine,
  MeasuredView,
  MeterView,
  NewSession,
  PlaceBody,
  PlanBody,
  PlanView,
  ProbeBody,
  ProbeLine,
  ReadingBody,
  SessionChange,
  SessionView,
} from './interface';

/** How a session is fitted: what is taken as not known, what else counts, what a next reading is to narrow. */
export interface FitWish {
  free: string;
  with: string;
  wanted: string;
}

const at = encodeURIComponent;
const session = (id: string, part = '', params = {}) => address(`bench/sessions/${at(id)}${part}`, params);
const remove = { method: 'DELETE' };
const restore = { method: 'POST' };

export const benchApi = {
  bench: (units: Units, signal?: AbortSignal) => call<BenchView>(address('bench', { units }), get(signal)),
  probeStart: (units: Units) => call<ProbeBody>(address('bench/probes/start', { units })),
  putProbe: (id: string, probe: ProbeBody, units: Units) =>
    call<ProbeLine>(address(`bench/probes/${at(id)}`, { units }), post(probe, undefined, 'PUT')),
  removeProbe: (id: string) => call<void>(address(`bench/probes/${at(id)}`), remove),
  restoreProbe: (id: string) => call<void>(address(`bench/probes/${at(id)}/restore`), restore),
  usualProbe: (id: string) => call<void>(address(`bench/probes/${at(id)}/usual`), restore),
  begin: (body: NewSession, units: Units) => call<SessionView>(address('bench/sessions', { units }), post(body)),
  session: (id: string, wish: FitWish, units: Units, signal?: AbortSignal) =>
    call<SessionView>(session(id, '', { ...wish, units }), get(signal)),
  change: (id: string, change: SessionChange, units: Units) =>
    call<SessionView>(session(id, '', { units }), post(change, undefined, 'PATCH')),
  removeSession: (id: string) => call<void>(session(id), remove),
  restoreSession: (id: string) => call<void>(session(id, '/restore'), restore),
  add: (id: string, reading: ReadingBody) => call<void>(session(id, '/readings'), post(reading)),
  takeBack: (reading: string) => call<void>(address(`bench/readings/${at(reading)}`), remove),
  bringBack: (reading: string) => call<void>(address(`bench/readings/${at(reading)}/restore`), restore),
  stand: (reading: string, standing: string) =>
    call<void>(address(`bench/readings/${at(reading)}/standing`), post({ standing }, undefined, 'PUT')),
  expected: (id: string, place: PlaceBody, wish: FitWish, units: Units, signal?: AbortSignal) =>
    call<ExpectedView>(session(id, '/expected', { ...wish, units }), post(place, signal)),
  found: (id: string, wish: FitWish, units: Units, signal?: AbortSignal) =>
    call<{ found: FoundView | null }>(session(id, '/found', { ...wish, units }), get(signal)),
  keep: (id: string, kept: string, parameter: string, wish: FitWish, units: Units) =>
    call<KeptLine>(session(id, '/kept', { ...wish, units }), post({ id: kept, parameter })),
  removeKept: (id: string) => call<void>(address(`bench/kept/${at(id)}`), remove),
  restoreKept: (id: string) => call<void>(address(`bench/kept/${at(id)}/restore`), restore),
  grade: (id: string, units: Units, signal?: AbortSignal) =>
    call<GradeView>(session(id, '/grade', { units }), get(signal)),
  plan: (body: PlanBody, signal?: AbortSignal) => call<PlanView>(address('bench/plan'), post(body, signal)),
  inspection: (id: string, body: InspectionBody, units: Units, signal?: AbortSignal) =>
    call<InspectionView>(session(id, '/inspection', { units }), post(body, signal)),
  noteVerdict: (id: string, body: InspectionBody, units: Units) =>
    call<void>(session(id, '/verdict', { units }), post(body, undefined, 'PUT')),
  takeVerdictBack: (id: string) => call<void>(session(id, '/verdict'), remove),
  measured: (units: Units, signal?: AbortSignal) => call<MeasuredView>(address('bench/table', { units }), get(signal)),
  measuredAddress: (form: 'csv' | 'xlsx' | 'pdf', units: Units) => address('bench/table/file', { form, units }),
  importFile: (id: string, file: File, progress: (share: number) => void) =>
    upload<Imported>(session(id, '/import', { name: file.name }), file, progress),
  meter: (units: Units, signal?: AbortSignal) => call<MeterView>(address('bench/meter', { units }), get(signal)),
  exportAddress: (id: string, units: Units) => session(id, '/export', { units }),
};

/** An id of our own making: whoever sends something again sends it under the same id. */
export function newId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(12));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
}
