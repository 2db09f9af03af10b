// One way written into the job's text; what the builder wrote beside it stays.
#include "job/edit.h"
#include "replan/replan.h"

namespace halfround::replan {

base::Result<std::string> mended_text(const std::string& text, const job::Job& job, const Alternative& way) {
  std::vector<job::Edit> edits;
  for (const std::string& key : way.drop) edits.push_back({key, std::nullopt});
  for (const Setting& s : way.set) edits.push_back({s.key, s.value});
  return job::edited_text(text, edits, job.file);
}

}  // namespace halfround::replan
