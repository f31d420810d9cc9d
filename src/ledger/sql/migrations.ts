/**
 * The tables, in steps that are never changed: each database remembers which it has taken. Keys are
 * hashes of records, and what belongs to a record begins with its key.
 */
export const migrations: readonly string[] = [
  `
create table record (
  id uuid primary key, record_id text not null, head text not null, entries int not null, bytes int not null,
  bench text, verdict text not null, code text, level text not null, counted boolean not null, emulated boolean not null,
  opened_month date not null, opened_at timestamptz not null, last_at timestamptz not null, received_at timestamptz not null,
  closed boolean not null, result text not null, conclusion text, proofs text not null,
  guide_id text not null, guide_sha256 text not null, guide_title text not null,
  maker text not null, model text not null, revision text not null, serial text not null, serial_key text not null,
  ticket text not null, symptom text not null, technician text not null, job text not null, tool text not null,
  minutes double precision not null, repairs int not null, returns int not null
);
create index record_serial on record (serial_key, opened_at);
create index record_opened on record (opened_at);
create index record_device on record (maker, model, revision, opened_at);
create index record_guide on record (guide_id, opened_at);
create table attempt (
  id uuid not null, n int not null, check_id text not null, kind text not null, phase text not null, outcome text not null,
  value double precision, u double precision, took_ms double precision, primary key (id, n)
);
create table proof (
  id uuid not null, n int not null, probe text not null, calibration text not null, at timestamptz not null, stage text not null,
  what text not null, outcome text not null, ohm double precision, u_repeat double precision not null, primary key (id, n)
);
create index proof_probe on proof (probe, at);
create table fault (id uuid not null, link text not null, mode text not null, share double precision not null, primary key (id, link, mode));
create table repair (
  id uuid not null, n int not null, what text not null, name text not null, title text not null,
  price double precision, currency text, helped boolean not null, primary key (id, n)
);
create table unit_act (
  id uuid not null, n int not null, unit text not null, act text not null, helped boolean not null, primary key (id, n, unit, act)
);
create table quarantine (
  id uuid not null, head text not null, code text not null, bench text, received_at timestamptz not null, primary key (id, head)
);
create table unit_month (
  maker text not null, model text not null, revision text not null, unit text not null, month date not null, emulated boolean not null,
  jobs int not null, in_vain int not null, primary key (maker, model, revision, unit, month, emulated)
);
create table check_month (
  guide_id text not null, check_id text not null, month date not null, emulated boolean not null, bucket int not null,
  n int not null, fails int not null, primary key (guide_id, check_id, month, emulated, bucket)
);
create table probe_month (
  probe text not null, calibration text not null, what text not null, month date not null, emulated boolean not null,
  n int not null, failed int not null, reads int not null, ohm double precision not null, ohm_squares double precision not null,
  primary key (probe, calibration, what, month, emulated)
);
create table tally_month (
  month date not null, facet text not null, name text not null, result text not null, emulated boolean not null,
  jobs int not null, minutes double precision not null, primary key (month, facet, name, result, emulated)
);
`,
];

/** Every table that the steps make. */
export const tableNames: readonly string[] = migrations.flatMap((text) =>
  [...text.matchAll(/create table (\w+)/g)].map(([, name]) => name!),
);
