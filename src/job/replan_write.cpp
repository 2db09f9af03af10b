// One way written into the job's text; what the builder wrote beside it stays.
#include "job/edit.h"
#include "job/replan.h"

namespace halfround::job {

base::Result<std::string> mended_text(const std::string& text, const Job& job, const Alternative& way) {
  std::vector<Edit> edits;
  for (const std::string& key : way.drop) edits.push_back({key, std::nullopt});
  for (const Setting& s : way.set) edits.push_back({s.key, s.value});
  return edited_text(text, edits, job.file);
}

}  // namespace halfround::job
