#include "job/numbers.h"

#include <vector>

#include "base/number.h"
#include "job/intent.h"

namespace halfround::job {

namespace {

constexpr std::string_view kSides[] = {"left.", "right."};

void add_wish(std::vector<Quantity*>& out, std::vector<Wished>& two, std::string_view name) {
  for (Wished& w : two)
    if (base::word_of(layout::kWishes, w.what).key == name) out.push_back(&w.value);
}

/// A side with a section of its own has both its wishes there (read_wishes).
void wishes(std::vector<Quantity*>& out, Job& job, std::string_view rest) {
  const bool own_left = job.lines.contains("wishes.left"), own_right = job.lines.contains("wishes.right");
  const bool left = rest.starts_with("left."), right = rest.starts_with("right.");
  const std::string_view name = left ? rest.substr(5) : right ? rest.substr(6) : rest;
  if (left ? own_left : !right && !own_left) add_wish(out, job.wishes.two, name);
  if (right ? own_right : !left && !own_right) add_wish(out, job.wishes.right, name);
}

Quantity* of_lower_end(LowerEnd& e, std::string_view name) {
  if (name == "blade_from_hub") return &e.blade_from_hub;
  if (name == "rise") return &e.rise;
  if (name == "diameter") return &e.diameter;
  if (name == "length") return &e.length;
  if (name == "bore") return &e.bore;
  if (name == "thickness") return &e.thickness;
  if (name == "slot_width") return &e.slot_width;
  if (name == "socket_depth") return &e.socket_depth;
  return nullptr;
}

void lower_ends(std::vector<Quantity*>& out, Job& job, std::string_view rest) {
  const auto add = [&](LowerEnd& e, std::string_view name) {
    if (Quantity* q = of_lower_end(e, name)) out.push_back(q);
  };
  if (rest.starts_with("left.")) return add(job.lower_end, rest.substr(5));
  if (rest.starts_with("right.")) {
    if (job.right_lower_end) add(*job.right_lower_end, rest.substr(6));
    return;
  }
  const std::string name(rest);
  if (!job.lines.contains("lower_end.left." + name)) add(job.lower_end, rest);
  if (job.right_lower_end && !job.lines.contains("lower_end.right." + name)) add(*job.right_lower_end, rest);
}

/// The stock's length is told for one side or both; it may be left out.
void stocks(std::vector<std::optional<Quantity>*>& out, Job& job, std::string_view key) {
  if (key == "blades.left.stock_length" || !job.right) out.push_back(&job.left.stock_length);
  if (!job.right) return;
  if (key == "blades.right.stock_length") out.push_back(&job.right->stock_length);
  if (key != "blades.stock_length") return;
  if (!job.lines.contains("blades.left.stock_length")) out.push_back(&job.left.stock_length);
  if (!job.lines.contains("blades.right.stock_length")) out.push_back(&job.right->stock_length);
}

Quantity* of_crown(CrownPart& c, std::string_view name) {
  if (name == "height") return &c.height;
  if (name == "above") return &c.above;
  if (name == "angle") return &c.angle;
  if (name == "between") return &c.between;
  if (name == "least") return &c.least;
  if (name == "spacing") return &c.spacing;
  if (name == "socket_reach") return &c.socket_reach;
  return nullptr;
}

/// "gussets[2].hollow"
Quantity* of_gusset(Job& job, std::string_view key) {
  const auto close = key.find("].");
  const auto number = close == key.npos ? std::nullopt : base::read_number(key.substr(8, close - 8));
  if (!number || *number < 1 || *number > static_cast<double>(job.gussets.size())) return nullptr;
  Gusset& g = job.gussets[static_cast<std::size_t>(*number) - 1];
  const std::string_view name = key.substr(close + 2);
  if (name == "along_first") return &g.along_first;
  if (name == "along_second") return &g.along_second;
  if (name == "hollow" && g.hollow) return &*g.hollow;
  return nullptr;
}

std::vector<Quantity*> numbers(Job& job, const std::string& key) {
  std::vector<Quantity*> out;
  const auto add = [&](Quantity* q) {
    if (q) out.push_back(q);
  };
  const auto given = [&](std::optional<Quantity>& q) {
    if (q) out.push_back(&*q);
  };
  if (key.starts_with("wishes.")) wishes(out, job, std::string_view(key).substr(7));
  if (key.starts_with("lower_end.")) lower_ends(out, job, std::string_view(key).substr(10));
  if (key.starts_with("crown.")) add(of_crown(job.crown, std::string_view(key).substr(6)));
  if (key.starts_with("gussets[")) add(of_gusset(job, key));
  if (key == "steering.axle_to_crown") add(&job.steering.axle_to_crown);
  if (key == "steering.offset") add(&job.steering.offset);
  if (key == "steerer.below_seat") add(&job.steerer.below_seat);
  if (key == "steerer.length") add(&job.steerer.length);
  if (key == "wheel.loaded_radius") given(job.wheel.loaded_radius);
  if (key == "shares.tilt") given(job.shares.tilt);
  if (key == "shares.mitre_offset") given(job.shares.mitre_offset);
  if (key == "shares.dropout_lead") given(job.shares.dropout_lead);
  return out;
}

}  // namespace

std::string said_key(const Job& job, const std::string& key) {
  if (job.lines.contains(key)) return key;
  const auto dot = key.find('.');
  if (dot == std::string::npos) return key;
  // a side as a whole that has no section of its own
  if (const std::string rest = key.substr(dot + 1); rest == "left" || rest == "right")
    return key.substr(0, dot);
  for (const std::string_view side : kSides) {
    if (key.compare(dot + 1, side.size(), side) != 0) continue;
    const std::string section = key.substr(0, dot + 1) + std::string(side.substr(0, side.size() - 1));
    if (section.starts_with("wishes") && job.lines.contains(section)) return key;
    return key.substr(0, dot + 1) + key.substr(dot + 1 + side.size());
  }
  return key;
}

std::optional<double> number_at(const Job& job, const std::string& key) {
  if (key.ends_with(".stock_length")) {
    const auto intent = intent_of(job);
    if (!intent) return std::nullopt;
    const bool right = key == "blades.right.stock_length" && intent->right;
    return (right ? *intent->right : intent->left).stock_length;
  }
  Job copy = job;
  const auto found = numbers(copy, key);
  return found.empty() ? std::nullopt : std::optional(found.front()->value);
}

bool set_number(Job& job, const std::string& key, double value) {
  const Quantity q{value, base::shortest(value), false};
  if (key.ends_with(".stock_length")) {
    std::vector<std::optional<Quantity>*> all;
    stocks(all, job, key);
    for (auto* one : all) *one = q;
    return !all.empty();
  }
  const auto all = numbers(job, key);
  for (Quantity* one : all) *one = q;
  return !all.empty();
}

}  // namespace halfround::job
