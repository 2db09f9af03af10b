// Random numbers by counter: the number at draw i of variable k depends on nothing but the seed, i and k, so
// that draws can be split among any number of threads. Frame: none.
#pragma once

#include <array>
#include <cstdint>
#include <span>

namespace halfround::study {

/// Which vector instructions are used. The results are the same to the last bit.
enum class Code { plain, avx2, avx512 };
[[nodiscard]] bool can_run(Code code);
/// The fastest that this processor runs and that a test has been seen to pass: never avx512 by itself, see
/// docs/tolerance.md.
[[nodiscard]] Code best_code();

using Words = std::array<std::uint32_t, 4>;
/// Philox4x32. Its authors found that 7 rounds pass every test of TestU01's BigCrush and recommend 10 as a
/// margin; a histogram of a fork needs no margin.
///   source  Salmon, Moraes, Dror, Shaw 2011, Parallel random numbers: as easy as 1, 2, 3 (SC11)
inline constexpr int kRounds = 7;
[[nodiscard]] Words philox(const Words& counter, const std::array<std::uint32_t, 2>& key,
                           int rounds = kRounds);

/// How a dimension's deviations spread. All are symmetrical about 0.
enum class Spread {
  normal,     ///< in units of sigma; Box-Muller, ends at 6.7 sigma
  uniform,    ///< between -1 and 1
  triangular  ///< between -1 and 1, most at 0
};
inline constexpr double kNormalEnd = 6.8;  ///< no normal deviate is beyond it: sqrt(-2 ln 2^-32) = 6.66

inline constexpr std::size_t kBlock = 128;  ///< draws worked on at a time
using DeviateBlock = std::array<float, kBlock>;

/// Unit deviates of kBlock draws from `first` on, for every variable. Single precision: within 3e-7 of a
/// sigma, as fine as the 32 bits behind each.
///   out  deviates  (n) one block a variable; variable k uses the words (draw, k / 4) of the stream
void draw_block(std::uint64_t seed, std::uint64_t first, std::span<const Spread> spreads, Code code,
                std::span<DeviateBlock> deviates);

}  // namespace halfround::study
