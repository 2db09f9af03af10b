-- What the second version wrote; never changed.
create table jobs(id text primary key, name text not null, newest integer not null, changed text not null,
  kind text not null default 'job') strict;
create unique index one_shop on jobs(kind) where kind = 'shop';
create table revisions(job text not null references jobs(id), number integer not null, text text not null,
  what text not null, name text not null default '', at text not null, how integer not null,
  back integer not null, forward integer not null, primary key(job, number)) strict, without rowid;
create table log(id integer primary key, job text not null references jobs(id), at text not null,
  who text not null, what text not null, key text not null, typed text not null) strict;
create index log_by_job on log(job, id);
create table ticks(job text not null references jobs(id), step text not null, done integer not null,
  who text not null, at text not null, primary key(job, step)) strict, without rowid;
create table tokens(id integer primary key autoincrement, hash text not null unique, made text not null) strict;
create table settings(name text primary key, value text not null) strict, without rowid;
insert into jobs values('00112233445566ff', 'old', 2, '2026-11-27T02:00:00Z', 'job');
insert into jobs values('8899aabbccddeeff', 'the shed', 1, '2026-11-27T02:30:00Z', 'shop');
insert into revisions values('00112233445566ff', 1, 'version = 0', 'begun', '', '2026-11-27T01:00:00Z', 0, 0, 0);
insert into revisions values('00112233445566ff', 2, 'version = 1
', 'version: 0, now 1', '', '2026-11-27T02:00:00Z', 1, 1, 0);
insert into revisions values('8899aabbccddeeff', 1, 'version = 1
[shop]
name = "the shed"
', 'begun', '', '2026-11-27T02:30:00Z', 0, 0, 0);
pragma user_version = 2;
