// Inside of the tolerance study: the three inner loops, compiled once for each set of vector instructions
// from one text (lanes.inc). Only + - * / and square roots are used, never a fused multiply-add, so that all
// of them give the same bits. Frame: that of the chain.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "bike/chain.h"
#include "study/stream.h"

namespace halfround::study {

/// A step ready for the loop. What it does to a point p = nominal + d: d += sin(a) w + (1 - cos(a)) k x w
/// with w = k x p - moment, or d += a k. Single precision: its error goes with d, not with the nominal.
struct LaneStep {
  enum class Kind { turn_x, turn_y, turn_z, turn, slide } kind = Kind::slide;
  bool carries = false;      ///< moves the nearest point on the member too
  std::size_t variable = 0;  ///< whose unit deviate
  float factor = 1;          ///< times the variable's scale: amount
  float k[3] = {};           ///< axis
  struct At {
    float w[3] = {};  ///< k x nominal - moment
  } at[3];            ///< end, face, nearest point
};
struct LaneLimb {
  std::vector<LaneStep> steps;  ///< the last of the chain first
  double end[3] = {}, face[3] = {}, on[3] = {};
  bool with_face = false, with_on = false;
  bool small = false;  ///< no turn is ever beyond kSmallTurn
};
inline constexpr double kSmallTurn = 0.06;  ///< rad; sine and cosine need two or three terms only

/// How far each is from its nominal place. end, face, nearest point: x, y, z each
using LimbBlock = std::array<std::array<float, kBlock>, 9>;
using ValueBlock = std::array<double, kBlock>;

struct LaneMeasures {
  const bike::Chain* chain = nullptr;
  const LaneLimb *left = nullptr, *right = nullptr;  ///< the same one twice where there is only one
  const ValueBlock* hub = nullptr;                   ///< the hub's width
};

struct ValueRange {
  double least, most;
  std::uint64_t below = 0, above = 0;  ///< how many are under low, over high
};

struct Lanes {
  void (*draw)(std::uint64_t seed, std::uint64_t first, std::span<const Spread> spreads, DeviateBlock* out);
  void (*move)(const LaneLimb& limb, const DeviateBlock* unit, const float* scale, LimbBlock& out);
  void (*measure)(const LaneMeasures& what, const LimbBlock& left, const LimbBlock& right, ValueBlock* out);
  /// Adds the first n values to a histogram of `bins`, by turns to `even` and `odd` (their sum counts): two
  /// that fall into one bin then seldom wait for each other.
  void (*bin)(const ValueBlock& values, std::size_t n, double start, double bins_a_unit, std::size_t bins,
              std::uint64_t* even, std::uint64_t* odd);
  /// Widens `range` by a whole block.
  void (*range)(const ValueBlock& values, double low, double high, ValueRange& range);
};
[[nodiscard]] const Lanes& lanes(Code code);

extern const Lanes kPlainLanes, kAvx2Lanes, kAvx512Lanes;

}  // namespace halfround::study
