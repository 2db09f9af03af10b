-- What the fifth version wrote; never changed. The hashes are those of Python's hashlib.blake2b(text, digest_size=32).
create table jobs(id text primary key, name text not null, newest integer not null, changed text not null,
  kind text not null default 'job') strict;
create unique index one_shop on jobs(kind) where kind = 'shop';
create table revisions(job text not null references jobs(id), number integer not null, text text not null,
  what text not null, name text not null default '', at text not null, how integer not null,
  back integer not null, forward integer not null, hash text not null default '', mark text not null default '', primary key(job, number))
  strict, without rowid;
create index revision_list on revisions(job, number, what, name, at, how, back, forward, mark);
create table log(id integer primary key, job text not null references jobs(id), at text not null,
  who text not null, what text not null, key text not null, typed text not null) strict;
create index log_by_job on log(job, id);
create table ticks(job text not null references jobs(id), step text not null, done integer not null,
  who text not null, at text not null, primary key(job, step)) strict, without rowid;
create table tokens(id integer primary key autoincrement, hash text not null unique, made text not null,
  kind text not null default '', seen text not null default '',
  name text not null default '', gone text not null default '') strict;
create table settings(name text primary key, value text not null) strict, without rowid;
create table counter(one integer primary key check(one = 1), changes integer not null) strict;
insert into counter values(1, 0);
create trigger counts_revisions after insert on revisions begin update counter set changes = changes + 1; end;
create trigger counts_names after update of name on revisions begin update counter set changes = changes + 1; end;
create trigger counts_log after insert on log begin update counter set changes = changes + 1; end;
create trigger counts_ticks after insert on ticks begin update counter set changes = changes + 1; end;
create trigger counts_tokens after insert on tokens begin update counter set changes = changes + 1; end;
create trigger counts_withdrawn after delete on tokens begin update counter set changes = changes + 1; end;
create trigger counts_gone after update of gone on tokens begin update counter set changes = changes + 1; end;
create trigger counts_settings after insert on settings begin update counter set changes = changes + 1; end;
insert into jobs values('00112233445566ff', 'old', 2, '2026-11-27T02:00:00Z', 'job');
insert into jobs values('8899aabbccddeeff', 'the shed', 1, '2026-11-27T02:30:00Z', 'shop');
insert into revisions values('00112233445566ff', 1, 'version = 0', 'begun', '', '2026-11-27T01:00:00Z', 0, 0, 0,
  'e9c07ee827c5b10548695c523394ea81a944cf1c701abef9b781939cc895681f', 'f9cff028');
insert into revisions values('00112233445566ff', 2, 'version = 1
', 'version: 0, now 1', '', '2026-11-27T02:00:00Z', 1, 1, 0,
  '9d67e8c5d8cc164a5c2b0524bae9bf28b38c8ba2d300db634b1ff58dd57131ef', '865979a3');
insert into revisions values('8899aabbccddeeff', 1, 'version = 1
[shop]
name = "the shed"
', 'begun', '', '2026-11-27T02:30:00Z', 0, 0, 0,
  'f29665a4481c1bd0992cd04427b5a5620b188503c3dcf45dc3a98a90959b8633', '2cd1a43a');
pragma user_version = 5;
