#include "solve/offer.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "base/number.h"
#include "job/edit.h"
#include "job/numbers.h"
#include "job/read.h"
#include "job/schema.h"
#include "job/verify.h"
#include "layout/refusal.h"
#include "solve/solve.h"

namespace halfround::solve {

using base::Offer;
using base::Problem;
using base::Problems;

namespace {

constexpr int kFarthest = 640;      // steps looked ahead, each a tenth of a mm or degree
constexpr std::size_t kEnough = 2;  // offers; with fewer the wishes are tried as well
constexpr int kWider = 10;          // steps farther on: "or more" has been tried there too

/// A key's number on its way from what was refused to what fits, in steps that can be typed.
class Trial {
 public:
  Trial(const job::Job& job, std::string key) : job_(job), key_(std::move(key)) {
    const auto now = job::number_at(job, key_);
    const job::Row* row = job::find_row(key_);
    if (!now || row == nullptr) return;
    angle_ = row->form == job::Form::angle;
    now_ = shown(*now), least_ = row->least, most_ = row->most;
    // a length that is told as a difference keeps its own decimals
    whole_ = key_ != "steering.axle_to_crown" && !key_.ends_with("stock_length");
    fine_ = one_only() ? 2 : 1;
    there_ = true;
  }
  [[nodiscard]] bool there() const { return there_; }
  [[nodiscard]] bool angle() const { return angle_; }
  [[nodiscard]] double now() const { return now_; }
  /// A share is right at one number only, unless another one takes the remainder.
  [[nodiscard]] bool one_only() const { return key_.starts_with("shares.") && !job_.shares.remainder; }

  /// The number n steps on, in the unit it is typed in.
  [[nodiscard]] double value(int way, int n) const {
    const double step = std::pow(10.0, -fine_);
    const double start =
        whole_ ? base::reachable(now_, way > 0 ? base::Fits::from : base::Fits::up_to, fine_) : now_;
    return std::round((start + way * n * step) * 1e6) / 1e6;
  }
  [[nodiscard]] int steps_to(double typed, int way) const {
    const double step = std::pow(10.0, -fine_);
    return std::max(1, static_cast<int>(std::ceil((typed - value(way, 0)) * way / step - 1e-6)));
  }
  /// Can the job be laid out with it?
  [[nodiscard]] bool fits(int way, int n) {
    const auto known = tried_.find(way * n);
    if (known != tried_.end()) return known->second;
    return tried_[way * n] = laid_out_with(value(way, n));
  }
  /// The nearest that fits on this way; 0: none.
  [[nodiscard]] int nearest(int way, int guess) {
    int bad = 0, good = 0;
    for (int n = std::max(1, guess), step = guess > 1 ? 1 : 5; n <= kFarthest; n += step, step *= 2) {
      if (fits(way, n)) {
        good = n;
        break;
      }
      bad = n;
    }
    if (good == 0) return 0;
    if (bad == 0 && good > 1 && !fits(way, good - 1)) return good;
    while (good - bad > 1) {
      const int middle = (good + bad) / 2;
      (fits(way, middle) ? good : bad) = middle;
    }
    return good;
  }

 private:
  [[nodiscard]] double shown(double v) const { return angle_ ? base::to_deg(v) : v; }
  [[nodiscard]] bool laid_out_with(double typed) const {
    if (typed < least_ - 1e-9 || typed > most_ + 1e-9) return false;
    job::Job changed = job_;
    if (!job::set_number(changed, key_, angle_ ? base::to_rad(typed) : typed)) return false;
    base::Problems wrong;
    verify(changed, wrong);
    return wrong.empty() && laid_out(changed).has_value();
  }

  const job::Job& job_;
  std::string key_;
  bool there_ = false, angle_ = false, whole_ = true;
  int fine_ = 1;
  double now_ = 0, least_ = 0, most_ = 0;
  std::map<int, bool> tried_;
};

std::string with_unit(double typed, bool angle, int decimals = 1) {
  return base::fixed(typed, decimals) + (angle ? " deg" : " mm");
}

/// "wishes.right.crown_height": "crown height of the right blade"
std::string name_of_key(const std::string& key) {
  const std::string last = key.substr(key.rfind('.') + 1);
  std::string out = last;
  std::ranges::replace(out, '_', ' ');
  static constexpr std::pair<std::string_view, const char*> kNames[] = {
      {"blade_from_hub", "blade-to-hub distance"},
      {"length", "barrel length"},
      {"below_seat", "steerer below the seat"},
      {"between", "distance between the plates"},
      {"above", "length above the crown"},
      {"spacing", "blade spacing"},
      {"clearance", "tyre clearance"},
      {"least", "least metal between the bores"},
      {"thickness", "bar thickness"},
      {"along_first", "leg along the first tube"},
      {"along_second", "leg along the second tube"},
      {"hollow", "free edge's radius"}};
  for (const auto& [name, words] : kNames)
    if (last == name) out = words;
  if (key.starts_with("shares.")) out = last == "tilt" ? "blade tilt" : out;
  if (key.find(".left.") != std::string::npos) out += " of the left blade";
  if (key.find(".right.") != std::string::npos) out += " of the right blade";
  return out;
}

std::string with_article(const std::string& name) {
  return (name.starts_with("a") || name.starts_with("o") || name.starts_with("u") ? "an " : "a ") + name;
}

/// What the sentence says of one number.
std::string phrase(const std::string& key, Trial& t, int way, int n) {
  const double typed = t.value(way, n), off = std::abs(typed - t.now());
  const char* side = key.find(".left.") != std::string::npos    ? "a left blade"
                     : key.find(".right.") != std::string::npos ? "a right blade"
                                                                : "blades";
  if (key == "steering.axle_to_crown")
    return fmt::format("{} {} axle-to-crown", with_unit(off, false), way > 0 ? "more" : "less");
  if (key.ends_with("stock_length")) return fmt::format("{} {} longer", side, with_unit(off, false));
  if (key.starts_with("shares."))
    return fmt::format("a {} of {}", name_of_key(key), with_unit(typed, false, 2));
  return fmt::format("{} of {}{}", with_article(name_of_key(key)), with_unit(typed, t.angle()),
                     t.fits(way, n + kWider) ? (way > 0 ? " or more" : " or less") : "");
}

class Offers {
 public:
  explicit Offers(const job::Job& job) : job_(job) {}

  /// From a number that came with the problem.
  void from_guess(const std::string& key, const std::string& typed) {
    Trial t(job_, key);
    const auto guess = base::parse_quantity(typed, t.angle() ? base::Kind::angle : base::Kind::length);
    if (!t.there() || !guess) return;
    const double wanted = t.angle() ? base::to_deg(guess->value) : guess->value;
    if (wanted == t.now()) return;
    const int way = wanted > t.now() ? 1 : -1;
    const int steps = t.steps_to(wanted, way);
    const int n = t.one_only() ? (t.fits(way, steps) ? steps : 0) : t.nearest(way, steps);
    if (n > 0) add(key, t, way, n);
  }
  /// Without a guess: the nearer of both ways.
  void from_nothing(const std::string& key) {
    Trial t(job_, key);
    if (!t.there()) return;
    const int more = t.nearest(1, 1), less = t.nearest(-1, 1);
    if (more == 0 && less == 0) return;
    const bool up = more > 0 && (less == 0 || more <= less);
    add(key, t, up ? 1 : -1, up ? more : less);
  }
  [[nodiscard]] bool has(const std::string& key) const {
    return std::ranges::find(offers, key, &Offer::key) != offers.end();
  }

  std::vector<Offer> offers;

 private:
  void add(const std::string& key, Trial& t, int way, int n) {
    offers.push_back({key, base::shortest(t.value(way, n)), phrase(key, t, way, n)});
  }
  const job::Job& job_;
};

/// The wishes' keys as the job gives them: of one side where the problem is that side's.
std::vector<std::string> wish_keys(const job::Job& job, const std::string& of) {
  const bool right = of.find(".right.") != std::string::npos, left = of.find(".left.") != std::string::npos;
  const bool own_right = job.lines.contains("wishes.right"), own_left = job.lines.contains("wishes.left");
  std::vector<std::string> out;
  const auto add = [&](const std::vector<job::Wished>& two, bool own, const char* side) {
    for (const job::Wished& w : two) {
      std::string key = layout::key_of(w.what);
      if (own) key.insert(7, side);
      if (std::ranges::find(out, key) == out.end()) out.push_back(key);
    }
  };
  if (!right || job.wishes.right.empty()) add(job.wishes.two, own_left, "left.");
  if (!left && !job.wishes.right.empty()) add(job.wishes.right, own_right, "right.");
  if (job::row_of(job.crown.kind).own_place) out.emplace_back("crown.spacing");
  return out;
}

/// Refusals that the wishes may mend: the blade lies where it can't.
bool about_place(const std::string& code) {
  static constexpr std::string_view kCodes[] = {
      "wish-unreachable",     "offset-unreachable", "stock-too-short",      "tyre-too-wide",
      "joint-above-seat",     "crown-not-reached",  "blade-misses-steerer", "crown-tube-too-short",
      "plate-bores-too-near", "block-too-low",      "plates-too-near"};
  return std::ranges::find(kCodes, code) != std::end(kCodes);
}

std::string list(const std::vector<Offer>& offers, std::size_t from) {
  std::string out;
  for (std::size_t i = from; i < offers.size(); ++i)
    out += (i == from ? "" : i + 1 == offers.size() ? ", or with " : ", with ") + offers[i].label;
  return out;
}

}  // namespace

Problem with_offers(const job::Job& job, Problem problem) {
  const bool by_wishes = about_place(problem.code);
  if (!by_wishes && problem.offers.empty()) return problem;
  Offers found(job);
  for (const Offer& o : problem.offers) found.from_guess(job::said_key(job, o.key), o.typed);
  const bool wished = problem.code == "wish-unreachable";
  // both wishes, and where little else would do
  for (const std::string& key : wish_keys(job, problem.where.key)) {
    if (by_wishes && !found.has(key) && (wished || found.offers.size() < kEnough)) found.from_nothing(key);
  }
  const bool first_is_refused = wished && !found.offers.empty() && found.offers[0].key == problem.where.key;
  const auto asked = job::number_at(job, problem.where.key);
  const bool promised = !problem.offers.empty();
  problem.offers = std::move(found.offers);
  if (problem.offers.empty()) {
    if (wished && promised)
      problem.fits = "Change more than one of the two wishes, or other measures of the fork.";
    return problem;
  }
  if (first_is_refused && problem.offers.size() > 1 && asked) {
    const job::Row* row = job::find_row(problem.where.key);
    const bool angle = row != nullptr && row->form == job::Form::angle;
    problem.fits =
        fmt::format("Ask for {}; {} fits with {}.", problem.offers[0].label,
                    with_unit(angle ? base::to_deg(*asked) : *asked, angle), list(problem.offers, 1));
  } else if (first_is_refused) {
    problem.fits = fmt::format("Ask for {}, or change the other wish.", problem.offers[0].label);
  } else {
    problem.fits = fmt::format("It fits with {}.", list(problem.offers, 0));
  }
  return problem;
}

namespace {

/// Tries the first offer of a problem of reading on the text.
void try_offer(const std::string& text, Problem& p) {
  const Offer& o = p.offers.front();
  const auto edited = job::edited_text(text, {{o.key, o.typed}}, p.where.file);
  if (!edited) return p.offers.clear();
  const auto job = job::read_job(*edited, p.where.file);
  if (!job) {
    // another problem has its own sentence; the same one means that the number is none that fits
    const auto same = [&](const Problem& q) { return q.code == p.code && q.where.key == p.where.key; };
    if (std::ranges::any_of(job.error(), same)) p.offers.clear();
    return;
  }
  const auto answer = laid_out(*job);
  if (answer) return;
  const Problem next = with_offers(*job, answer.error());
  const auto better = std::ranges::find(next.offers, o.key, &Offer::key);
  if (better == next.offers.end()) return;
  p.offers = {*better};
  p.fits += " It fits with " + better->label + ".";
}

}  // namespace

Problems with_offers(const std::string& text, Problems problems) {
  std::size_t tried = 0;
  for (Problem& p : problems) {
    if (p.offers.size() == 1 && tried++ < kTriedProblems) try_offer(text, p);
  }
  return problems;
}

}  // namespace halfround::solve
