import { crc16 } from './crc16.ts';
import { decodeFields, encodeFields, type FieldList, type FieldsOf } from './fields.ts';
import { encodeSlip } from './slip.ts';
import { answerBit, enumTable, noticeTable, requestTable, statusTable } from './table.ts';

export type RequestName = keyof typeof requestTable;
export type NoticeName = keyof typeof noticeTable;
export type StatusName = keyof typeof statusTable;
export type EventName = keyof typeof enumTable.event;

/** Fields that take a name in place of a number, by message: the names of `enumTable`. */
type Named = { mode: keyof typeof enumTable.mode; level: keyof typeof enumTable.level; input: keyof typeof enumTable.input };
type ModeFields = Named & { range: number | 'auto' };
type StartFields = { rate: keyof typeof enumTable.rate; batch: number };

/** A request of the host: its name and its fields. Modes, levels, inputs and rates go by name. */
export type Request = {
  [N in RequestName]: { type: N } & (N extends 'mode'
    ? ModeFields
    : N extends 'start'
      ? StartFields
      : FieldsOf<(typeof requestTable)[N]['fields']>);
}[RequestName];

/** Fields of the answer to a request. */
export type AnswerFields<N extends RequestName> = FieldsOf<(typeof requestTable)[N]['answer']>;

/** An answer as it stands on the wire; `fields` is null when the request was refused. */
export interface Answer {
  kind: 'answer';
  request: RequestName;
  seq: number;
  status: StatusName | 'unknown';
  fields: Record<string, unknown> | null;
}

export type ReadingsNotice = { kind: 'readings'; seq: number } & FieldsOf<typeof noticeTable.readings.fields>;
export type EventNotice = { kind: 'event'; seq: number } & FieldsOf<typeof noticeTable.event.fields>;
export type BootNotice = { kind: 'boot'; seq: number } & FieldsOf<typeof noticeTable.boot.fields>;
export type Notice = ReadingsNotice | EventNotice | BootNotice;

/** A checked payload, read. `malformed`: its type is known and its body is not of that type. */
export type Incoming =
  | Answer
  | Notice
  | { kind: 'request'; name: RequestName; seq: number; fields: Record<string, unknown> }
  | { kind: 'unknown'; type: number; seq: number }
  | { kind: 'malformed'; type: number; seq: number; what: string };

/** What a probe said of itself in its answer to hello. */
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

const requestNames = byType(requestTable);
const noticeNames = byType(noticeTable);
const statusNames = new Map(Object.entries(statusTable).map(([name, row]) => [row.code as number, name as StatusName]));

function byType<T extends Record<string, { type: number }>>(table: T): Map<number, keyof T> {
  return new Map(Object.entries(table).map(([name, row]) => [row.type, name as keyof T]));
}

/** Returns the whole frame of a request. @throws RangeError for a field value that its type does not hold */
export function encodeRequest(request: Request, seq: number): Uint8Array {
  const { type, fields } = requestTable[request.type];
  return frame(type, seq, fields, numbered(request));
}

/** Returns the whole frame of an answer, as a probe sends it. */
export function encodeAnswer(answer: Answer): Uint8Array {
  const row = requestTable[answer.request];
  const status = answer.status === 'unknown' ? 0xff : statusTable[answer.status].code;
  const list: FieldList = answer.fields === null ? [] : row.answer;
  return frame(row.type | answerBit, answer.seq, [['status', 'u8'], ...list], { status, ...answer.fields });
}

/** Returns the whole frame of a notice, as a probe sends it. */
export function encodeNotice(notice: Notice): Uint8Array {
  const row = noticeTable[notice.kind];
  return frame(row.type, notice.seq, row.fields, notice);
}

function frame(type: number, seq: number, list: FieldList, values: Record<string, unknown>): Uint8Array {
  const out = [type, seq & 0xff];
  encodeFields(list, values, out);
  const payload = Uint8Array.from([...out, 0, 0]);
  const check = crc16(payload, 0, out.length);
  payload[out.length] = check >> 8;
  payload[out.length + 1] = check & 0xff;
  return encodeSlip(payload);
}

/** Returns the request's fields with names turned into the numbers of `enumTable`. */
function numbered(request: Request): Record<string, unknown> {
  const values: Record<string, unknown> = { ...request };
  for (const name of ['mode', 'level', 'input', 'rate'] as const) {
    const value = values[name];
    if (typeof value === 'string') values[name] = (enumTable[name] as Record<string, number>)[value];
  }
  if (values['range'] === 'auto') values['range'] = enumTable.rangeAuto.auto;
  return values;
}

/** Returns what a checked payload (without its check value) says. Never throws. */
export function decodePayload(payload: Uint8Array): Incoming {
  const type = payload[0] ?? 0;
  const seq = payload[1] ?? 0;
  if ((type & answerBit) !== 0) return decodeAnswer(type, seq, payload);
  const notice = noticeNames.get(type);
  if (notice !== undefined) {
    const fields = decodeFields(noticeTable[notice].fields, payload, 2);
    if (fields === null) return { kind: 'malformed', type, seq, what: `${notice} is too short` };
    return { kind: notice, seq, ...fields } as Notice;
  }
  const request = requestNames.get(type);
  if (request === undefined) return { kind: 'unknown', type, seq };
  const fields = decodeFields(requestTable[request].fields, payload, 2);
  if (fields === null) return { kind: 'malformed', type, seq, what: `${request} is too short` };
  return { kind: 'request', name: request, seq, fields };
}

function decodeAnswer(type: number, seq: number, payload: Uint8Array): Incoming {
  const request = requestNames.get(type & ~answerBit);
  if (request === undefined) return { kind: 'unknown', type, seq };
  if (payload.length < 3) return { kind: 'malformed', type, seq, what: `answer to ${request} has no status` };
  const status = statusNames.get(payload[2]!) ?? 'unknown';
  if (status !== 'ok') return { kind: 'answer', request, seq, status, fields: null };
  const fields = decodeFields(requestTable[request].answer, payload, 3);
  if (fields === null) return { kind: 'malformed', type, seq, what: `answer to ${request} is too short` };
  return { kind: 'answer', request, seq, status, fields };
}

const eventNames = new Map(Object.entries(enumTable.event).map(([name, code]) => [code as number, name as EventName]));

/** Returns the name of an event code, or null for one that this host does not know. */
export function eventName(code: number): EventName | null {
  return eventNames.get(code) ?? null;
}
