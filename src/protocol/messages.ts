import { type Body, decodeBody, encodeBody, type FieldList } from './fields.ts';
import { encodeFrame } from './slip.ts';
import { answerBit, enumTable, noticeTable, requestTable, statusTable } from './table.ts';

type RequestTable = typeof requestTable;
type NoticeTable = typeof noticeTable;
type EnumTable = typeof enumTable;

export type RequestName = keyof RequestTable;
type NoticeName = keyof NoticeTable;
type StatusName = keyof typeof statusTable;
export type EventName = keyof EnumTable['event'];
export type LevelName = keyof EnumTable['level'];
export type InputName = keyof EnumTable['input'];

/** Request fields that may be given by name, and the enum of the table that names their values. */
const namedFields = { mode: 'mode', level: 'level', input: 'input', rate: 'rate', range: 'rangeAuto' } as const;
type NamedFields = typeof namedFields;

/**
 * A request's body as a caller writes it: `mode: 'resistance'` and `range: 'auto'` as well as
 * numbers.
 */
type RequestBody<F extends FieldList> = {
  [K in keyof Body<F>]: K extends keyof NamedFields ? keyof EnumTable[NamedFields[K]] | number : Body<F>[K];
};

/** What a host asks: `{ type: 'start', rate: 'standard', batch: 8 }`. */
export type Request = {
  [N in RequestName]: { type: N } & RequestBody<RequestTable[N]['fields']>;
}[RequestName];

/** The answer to a request that was carried out. */
export type OkAnswer<N extends RequestName = RequestName> = {
  [M in N]: { kind: 'answer'; request: M; seq: number; status: 'ok' } & Body<RequestTable[M]['answer']>;
}[N];

/**
 * A refusal: no fields. `unlisted` is a status that only a newer probe knows; its number is in
 * `statusCode`.
 */
interface Refusal {
  kind: 'answer';
  request: RequestName;
  seq: number;
  status: Exclude<StatusName, 'ok'> | 'unlisted';
  statusCode: number;
}

export type ProbeAnswer = OkAnswer | Refusal;
/** The answer that a request resolves to. */
export type AnswerOf<R extends Request> = OkAnswer<R['type']>;

/** A notice as it stands on the wire: clock, index and flags not yet unwrapped. */
export type Notice = { [N in NoticeName]: { kind: N; seq: number } & Body<NoticeTable[N]['fields']> }[NoticeName];
export type ReadingsNotice = Extract<Notice, { kind: 'readings' }>;
export type EventNotice = Extract<Notice, { kind: 'event' }>;

/** A payload of a type that this version does not know: to be counted and skipped. */
interface UnknownMessage {
  kind: 'unknown';
  type: number;
  seq: number;
}

/** A payload whose check value held but whose body does not: to be counted and skipped. */
interface MalformedMessage {
  kind: 'malformed';
  type: number;
  why: string;
}

export type Message = ProbeAnswer | Notice | UnknownMessage | MalformedMessage;

/**
 * Who a probe says it is, from its answer to hello. Names that the table does not list are given as
 * `bit9`.
 */
export interface ProbeIdentity {
  protoMajor: number;
  protoMinor: number;
  fwMajor: number;
  fwMinor: number;
  fwBuild: number;
  probeSerial: number;
  capabilities: string[];
  resetCause: string[];
  bootCount: number;
  maxPayload: number;
}

const requestByType = new Map(
  Object.entries(requestTable).map(([name, entry]) => [entry.type as number, name as RequestName]),
);
const noticeByType = new Map(
  Object.entries(noticeTable).map(([name, entry]) => [entry.type as number, name as NoticeName]),
);
const statusByCode = new Map(
  Object.entries(statusTable).map(([name, entry]) => [entry.code as number, name as StatusName]),
);
const eventByCode = new Map(Object.entries(enumTable.event).map(([name, code]) => [code as number, name as EventName]));

/** Returns the event's name, or null for one that only a newer probe knows. */
export function eventName(code: number): EventName | null {
  return eventByCode.get(code) ?? null;
}

/**
 * Returns the whole frame of a request. `seq` 0..255. @throws RangeError when a field does not fit
 */
export function encodeRequest(request: Request, seq: number): Uint8Array<ArrayBuffer> {
  const { type, fields } = requestTable[request.type];
  const values: Record<string, unknown> = { ...request };
  for (const [field, enumName] of Object.entries(namedFields)) {
    const named = values[field];
    if (typeof named === 'string') values[field] = (enumTable[enumName] as Record<string, number>)[named];
  }
  return encodeFrame(Uint8Array.from([type, seq, ...encodeBody(fields, values)]));
}

/** Returns the whole frame of an answer, as a probe sends it: for tests and for replaying. */
export function encodeAnswer(answer: ProbeAnswer): Uint8Array<ArrayBuffer> {
  const { type, answer: fields } = requestTable[answer.request];
  const code = answer.status === 'unlisted' ? answer.statusCode : statusTable[answer.status].code;
  const body = answer.status === 'ok' ? encodeBody(fields, { ...answer }) : [];
  return encodeFrame(Uint8Array.from([type | answerBit, answer.seq, code, ...body]));
}

/** Returns the whole frame of a notice, as a probe sends it: for tests. */
export function encodeNotice(notice: Notice): Uint8Array<ArrayBuffer> {
  const { type, fields } = noticeTable[notice.kind];
  return encodeFrame(Uint8Array.from([type, notice.seq, ...encodeBody(fields, { ...notice })]));
}

/**
 * Returns the message in a payload whose CRC held (as {@link FrameDecoder} gives it). Never throws.
 */
export function decodePayload(payload: Uint8Array): Message {
  const [type, seq] = payload;
  if (type === undefined || seq === undefined)
    return { kind: 'malformed', type: type ?? 0, why: 'no type and sequence number' };
  const request = (type & answerBit) === 0 ? undefined : requestByType.get(type & ~answerBit);
  if (request !== undefined) return decodeAnswer(request, type, seq, payload);
  const notice = noticeByType.get(type);
  if (notice === undefined) return { kind: 'unknown', type, seq };
  const body = decodeBody(noticeTable[notice].fields, payload, 2);
  if (body === null)
    return { kind: 'malformed', type, why: `${notice}: body of ${payload.length - 2} bytes is too short` };
  return { kind: notice, seq, ...body } as Notice;
}

function decodeAnswer(request: RequestName, type: number, seq: number, payload: Uint8Array): Message {
  const statusCode = payload[2];
  if (statusCode === undefined) return { kind: 'malformed', type, why: `answer to ${request}: no status` };
  const status = statusByCode.get(statusCode) ?? 'unlisted';
  if (status !== 'ok') return { kind: 'answer', request, seq, status, statusCode };
  const body = decodeBody(requestTable[request].answer, payload, 3);
  if (body === null)
    return { kind: 'malformed', type, why: `answer to ${request}: body of ${payload.length - 3} bytes is too short` };
  return { kind: 'answer', request, seq, status, ...body } as OkAnswer;
}
