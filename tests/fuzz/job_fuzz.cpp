// Any bytes as a job file: answered by a job or by located sentences, never by a crash; a job that is read
// has finite numbers and makes an intent. Seeds: tests/fuzz/corpus/job.
#include <cmath>
#include <cstdint>
#include <string_view>

#include "job/intent.h"
#include "job/read.h"
#include "job/table_reader.h"

using namespace halfround;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  const auto job = job::read_job(text, "fuzz.toml");
  if (!job) {
    base::check(!job.error().empty(), "a refusal has a reason");
    base::check(job.error().size() <= job::kMostProblems + 40, "complaints end");
    for (const base::Problem& p : job.error()) {
      base::check(!p.code.empty() && !p.what.empty() && !p.fits.empty(),
                  "a complaint says what and what fits");
      base::check(p.where.file == "fuzz.toml", "a complaint says which file");
    }
    return 0;
  }
  const auto intent = job::intent_of(*job);
  base::check(intent.has_value(), "a job that was read makes an intent");
  base::check(std::isfinite(intent->drop) && intent->drop > 0, "the drop is a length");
  for (const shape::Station& s : intent->left.stations) {
    base::check(std::isfinite(s.s) && std::isfinite(s.width) && std::isfinite(s.wall), "stations are finite");
  }
  return 0;
}
