// Section by section in the order of the schema; what the numbers mean together is looked at in verify.cpp.
#include "job/read.h"

#include "job/read_sections.h"
#include "job/report_read.h"
#include "job/table_reader.h"
#include "job/text_door.h"
#include "job/verify.h"

namespace halfround::job {

using base::Problems;

namespace {

/// A file whose version isn't known is not read further: its keys may mean something else.
bool read_all(TableReader& r, const toml::table& table, Job& job) {
  const Spot root = r.root(table);
  const Spot version = r.in(root, "version");
  const auto number = r.count(version);
  if (!number && version.node != nullptr) return false;
  const Spot head = r.section(root, "job");
  job.name = r.text(r.in(head, "name"));
  if (const Spot note = r.in(head, "note"); note.node != nullptr) job.note = r.text(note);
  job.wheel = read_wheel(r, root);
  const Spot hub = r.section(root, "hub");
  job.hub = {r.quantity(r.in(hub, "over_locknut")), r.quantity(r.in(hub, "axle"))};
  job.steering = read_steering(r, root);
  job.steerer = read_steerer(r, root);
  read_blades(r, root, job);
  job.crown = read_crown(r, root);
  read_lower_ends(r, root, job);
  job.brake = read_brake(r, root);
  job.features = read_features(r, root);
  job.gussets = read_gussets(r, root);
  job.shares = read_shares(r, root, job);
  job.wishes = read_wishes(r, root, row_of(job.crown.kind).own_place);
  job.bicycle = read_bicycle(r, root, job);
  job.pedals = read_pedals(r, root);
  job.mudguard = read_mudguard(r, root);
  job.checks = read_checks(r, root);
  job.material = read_material(r, root);
  job.strength = read_strength(r, root);
  job.joining = read_joining(r, root);
  read_shop(r, root, job);
  read_done(r, root, job);
  r.refuse_unknown(table, "");
  return true;
}

}  // namespace

base::Result<Job, Problems> read_job(std::string_view text, const std::string& file) {
  if (auto problem = stopped_at_door(text, file)) return tl::unexpected(Problems{std::move(*problem)});
  Job job;
  job.file = file;
  Problems problems;
  try {
    const toml::table table = toml::parse(text, std::string{file});
    TableReader reader(text, job, problems);
    if (read_all(reader, table, job)) {
      verify(job, problems);
      verify_done(job, problems);
    }
  } catch (const toml::parse_error& error) {
    return tl::unexpected(Problems{grammar_problem(error, file)});
  }
  if (problems.empty()) return job;
  return tl::unexpected(in_file_order(std::move(problems)));
}

}  // namespace halfround::job
