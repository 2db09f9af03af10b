// What the job has to say so that it lays out a way: common keys where the sides are alike, a side's own
// where they differ.
#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "replan/replan_weigh.h"

namespace halfround::replan {

namespace {

std::string typed(double v) {
  return base::shortest(std::round(v * 1e7) / 1e7);
}

class Keys {
 public:
  Keys(const job::Job& job, Alternative& way) : job_(job), way_(way) {}

  [[nodiscard]] bool there(const std::string& key) const { return job_.lines.contains(key); }
  void set(const std::string& key, double v) {
    if (std::ranges::find(way_.set, key, &Setting::key) == way_.set.end())
      way_.set.push_back({key, typed(v)});
  }
  void change(const std::string& key, double is, double was) {
    if (std::abs(is - was) > kSame) set(key, is);
  }
  void drop(const std::string& key) {
    if (there(key) && std::ranges::find(way_.drop, key) == way_.drop.end()) way_.drop.push_back(key);
  }

 private:
  const job::Job& job_;
  Alternative& way_;
};

/// One measure of the lower ends: with both, unless a side has its own already or the sides differ now.
void lower_end(Keys& keys, const std::string& name, const double (&is)[2], const double (&was)[2]) {
  const std::string both = "lower_end." + name, left = "lower_end.left." + name,
                    right = "lower_end.right." + name;
  const bool differ = std::abs(is[0] - is[1]) > kSame;
  const bool left_own = keys.there(left), right_own = keys.there(right) || differ;
  keys.change(left_own ? left : both, is[0], was[0]);
  if (right_own && !keys.there(right)) {
    keys.set(right, is[1]);
  } else if (right_own || left_own) {
    keys.change(right_own ? right : both, is[1], was[1]);
  }
}

void lower_ends(Keys& keys, const Facts& f, const Side& left, const Side& right) {
  const layout::LowerEnd* ends[] = {&left.intent.lower_end, &right.intent.lower_end,
                                    &f.plan[0].intent.lower_end, &f.plan[1].intent.lower_end};
  const auto put = [&](const char* name, double layout::LowerEnd::*m) {
    lower_end(keys, name, {ends[0]->*m, ends[1]->*m}, {ends[2]->*m, ends[3]->*m});
  };
  put("blade_from_hub", &layout::LowerEnd::blade_from_hub);
  put("diameter", &layout::LowerEnd::diameter);
  put("length", &layout::LowerEnd::length);
  put("bore", &layout::LowerEnd::bore);
  // an insert that is faced is shorter than it was turned
  for (const bool is_left : {true, false}) {
    const double was = f.facts[index_of(is_left)].lower_end.length;
    const double is = (is_left ? left : right).intent.lower_end.length;
    for (const std::string& at :
         {std::string("done.inserts.") + side_name(is_left), std::string("done.inserts")}) {
      if (!keys.there(at + ".length")) continue;
      keys.change(at + ".length", is, was);
      break;
    }
  }
}

/// What names a blade's place in steps of a file (side_rounded); nothing for a side that is as planned.
void wishes(Keys& keys, const job::Job& job, const Side& left, const Side& right) {
  const bool alike = !job.right && std::abs(left.at().splay - right.at().splay) < kSame &&
                     std::abs(left.at().lower_trim - right.at().lower_trim) < kSame;
  const bool left_own = keys.there("wishes.left"), right_own = keys.there("wishes.right");
  const std::string l = left_own ? "wishes.left" : "wishes";
  const std::string r = right_own || (!alike && !left_own) ? "wishes.right" : "wishes";
  if (left.wishes.empty() || right.wishes.empty()) return;
  for (const auto& [section, side] : {std::pair{l, &left}, std::pair{r, &right}}) {
    for (const auto& [what, name, words] : layout::kWishes) {
      const std::string key = "." + std::string(name);
      const auto wish = std::ranges::find(side->wishes, what, &layout::Wished::what);
      if (wish == side->wishes.end())
        keys.drop(section + key);
      else
        keys.set(section + key, what == layout::Wish::splay ? base::to_deg(wish->value) : wish->value);
    }
  }
}

std::string own_table(const Piece& p) {
  return std::string("blades.") + bike::word_of(p.member.side);
}

/// A finished blade's length, to what a rule can read, mm.
double as_cut(const Facts& f, const Piece& p) {
  const auto& cut = f.cut[index_of(p.member.side == bike::Side::left)];
  return in_file_steps(cut ? cut->length : p.length);
}

/// A shortfall is told against the plan, and the plan has changed: from now on the length itself is told.
void shortfalls(Keys& keys, const Facts& f, const Alternative& way) {
  for (const Piece& p : way.pieces) {
    for (const std::string& at : {"done." + own_table(p), std::string("done.blades")}) {
      if (!keys.there(at + ".short_by")) continue;
      keys.drop(at + ".short_by");
      // said of both at once, it becomes each one's own
      if (p.fate == Fate::kept || p.fate == Fate::file)
        keys.set("done." + own_table(p) + ".length", as_cut(f, p));
      break;
    }
  }
}

/// What is told of a piece that is cut again or thrown away is no longer true.
void outdated(Keys& keys, const Facts& f, const Alternative& way) {
  for (const Piece& p : way.pieces) {
    if (p.fate != Fate::cut_again && p.fate != Fate::scrap) continue;
    const std::string at = "done." + own_table(p);
    for (const char* key : {".length", ".short_by", ".short_at", ".lower_trim", ".joined"}) {
      const bool stays = p.fate == Fate::cut_again && std::string(key) == ".joined";
      if (!stays) keys.drop(at + key);
    }
    if (!keys.there("done.blades.length")) continue;
    keys.drop("done.blades.length");
    for (const Piece& q : way.pieces) {
      if (q.fate == Fate::kept || q.fate == Fate::file)
        keys.set("done." + own_table(q) + ".length", as_cut(f, q));
    }
  }
}

}  // namespace

void state(const job::Job& job, const Facts& f, const Side& left, const Side& right, Alternative& way) {
  Keys keys(job, way);
  const layout::Intent &now = left.intent, &was = f.plan[0].intent;
  keys.change("steering.offset", now.offset, was.offset);
  keys.change("steering.axle_to_crown", way.moves[0].is, way.moves[0].was);
  keys.change("steerer.length", now.steerer.length, was.steerer.length);
  keys.change("steerer.below_seat", now.steerer.below_seat, was.steerer.below_seat);
  lower_ends(keys, f, left, right);
  keys.change(job::row_of(job.crown.kind).own_place ? "crown.socket_reach" : "crown.above",
              layout::past_line(now.crown), layout::past_line(was.crown));
  const auto moved = [&](const Side& side, bool is_left) {
    return std::abs(side.at().lower_trim - f.plan[index_of(is_left)].at().lower_trim) > kSame;
  };
  if (!way.unchanged() || moved(left, true) || moved(right, false)) wishes(keys, job, left, right);
  shortfalls(keys, f, way);
  outdated(keys, f, way);
  keys.drop("done.as_cut");
}

}  // namespace halfround::replan
