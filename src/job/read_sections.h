// The sections of a job file, each read by itself. Only the job's reader sees this header. Frame: none.
#pragma once

#include <optional>
#include <vector>

#include "job/job.h"
#include "job/table_reader.h"

namespace halfround::job {

[[nodiscard]] Wheel read_wheel(TableReader& r, const Spot& root);
[[nodiscard]] Steering read_steering(TableReader& r, const Spot& root);
[[nodiscard]] Steerer read_steerer(TableReader& r, const Spot& root);
void read_blades(TableReader& r, const Spot& root, Job& job);
[[nodiscard]] CrownPart read_crown(TableReader& r, const Spot& root);
void read_lower_ends(TableReader& r, const Spot& root, Job& job);
[[nodiscard]] Brake read_brake(TableReader& r, const Spot& root);
[[nodiscard]] std::vector<Feature> read_features(TableReader& r, const Spot& root);
[[nodiscard]] std::vector<Gusset> read_gussets(TableReader& r, const Spot& root);
[[nodiscard]] Shares read_shares(TableReader& r, const Spot& root, Job& job);
/// A side with a section of its own has both its wishes there.
[[nodiscard]] Wishes read_wishes(TableReader& r, const Spot& root, bool socket);
/// Nothing without its section: then nobody asks.
[[nodiscard]] std::optional<Bicycle> read_bicycle(TableReader& r, const Spot& root, Job& job);
[[nodiscard]] std::optional<Pedals> read_pedals(TableReader& r, const Spot& root);
[[nodiscard]] std::optional<Mudguard> read_mudguard(TableReader& r, const Spot& root);
[[nodiscard]] Checks read_checks(TableReader& r, const Spot& root);
[[nodiscard]] Materials read_material(TableReader& r, const Spot& root);
[[nodiscard]] StrengthRules read_strength(TableReader& r, const Spot& root);
[[nodiscard]] Joining read_joining(TableReader& r, const Spot& root);
void read_shop(TableReader& r, const Spot& root, Job& job);

}  // namespace halfround::job
