#include "store/migrations.h"

#include "base/result.h"
#include "store/hash.h"
#include "store/store.h"

namespace halfround::store {

namespace {

/// The n-th brings a file of version n to n + 1. What was released is never changed, only added to.
constexpr const char* kSteps[] = {
    R"(
create table jobs(
  id text primary key,
  name text not null,
  newest integer not null,
  changed text not null
) strict;
create table revisions(
  job text not null references jobs(id),
  number integer not null,
  text text not null,
  what text not null,
  name text not null default '',
  at text not null,
  how integer not null,
  back integer not null,
  forward integer not null,
  primary key(job, number)
) strict, without rowid;
create table log(
  id integer primary key,
  job text not null references jobs(id),
  at text not null, who text not null, what text not null, key text not null, typed text not null
) strict;
create index log_by_job on log(job, id);
create table ticks(
  job text not null references jobs(id),
  step text not null,
  done integer not null,
  who text not null,
  at text not null,
  primary key(job, step)
) strict, without rowid;
create table tokens(
  id integer primary key autoincrement,
  hash text not null unique,
  made text not null
) strict;
create table settings(
  name text primary key,
  value text not null
) strict, without rowid;
)",
    R"(
alter table jobs add column kind text not null default 'job';
create unique index one_shop on jobs(kind) where kind = 'shop';
)",
    // every change adds one to the counter, so that of two files of one store the newer is known
    R"(
alter table revisions add column hash text not null default '';
update revisions set hash = text_hash(text);
alter table tokens add column kind text not null default '';
alter table tokens add column seen text not null default '';
create table counter(one integer primary key check(one = 1), changes integer not null) strict;
insert into counter values(1, 0);
create trigger counts_revisions after insert on revisions begin update counter set changes = changes + 1; end;
create trigger counts_names after update of name on revisions begin update counter set changes = changes + 1; end;
create trigger counts_log after insert on log begin update counter set changes = changes + 1; end;
create trigger counts_ticks after insert on ticks begin update counter set changes = changes + 1; end;
create trigger counts_tokens after insert on tokens begin update counter set changes = changes + 1; end;
create trigger counts_withdrawn after delete on tokens begin update counter set changes = changes + 1; end;
create trigger counts_settings after insert on settings begin update counter set changes = changes + 1; end;
)",
    // a device that was withdrawn stays known, so that it can be told so
    R"(
alter table tokens add column name text not null default '';
alter table tokens add column gone text not null default '';
create trigger counts_gone after update of gone on tokens begin update counter set changes = changes + 1; end;
)",
    // the list of revisions is read from the index alone, without a text
    R"(
alter table revisions add column mark text not null default '';
update revisions set mark = text_mark(text);
create index revision_list on revisions(job, number, what, name, at, how, back, forward, mark);
)",
};

}  // namespace

void migrate(SQLite::Database& db, int version) {
  static_assert(std::size(kSteps) == kVersion);
  if (version == kVersion) return;
  know_hash(db);
  SQLite::Transaction all(db);
  for (int v = version; v < kVersion; ++v) db.exec(kSteps[v]);
  db.exec("pragma user_version = " + std::to_string(kVersion));
  all.commit();
}

}  // namespace halfround::store
