#include "job/job.h"

namespace halfround::job {

base::Place place_of(const Job& job, const std::string& key) {
  for (std::string k = key; !k.empty();) {
    if (const auto it = job.lines.find(k); it != job.lines.end()) {
      return {job.file, it->second.line, it->second.column, key};
    }
    const auto cut = k.find_last_of(".[");
    if (cut == std::string::npos) break;
    k.resize(cut);
  }
  return {job.file, 0, 0, key};
}

}  // namespace halfround::job
