// Which vector code runs, and the generator once more in plain words.
#include "study/stream.h"

#include "base/result.h"
#include "study/lanes.h"

namespace halfround::study {

bool can_run(Code code) {
#if defined(__x86_64__)
  if (code == Code::avx2) return __builtin_cpu_supports("avx2") > 0;
  if (code == Code::avx512) return __builtin_cpu_supports("avx512f") > 0;
#endif
  return code == Code::plain;
}

Code best_code() {
  return can_run(Code::avx2) ? Code::avx2 : Code::plain;
}

const Lanes& lanes(Code code) {
  base::check(can_run(code), "vector code that this processor does not have");
  return code == Code::avx512 ? kAvx512Lanes : code == Code::avx2 ? kAvx2Lanes : kPlainLanes;
}

Words philox(const Words& counter, const std::array<std::uint32_t, 2>& key, int rounds) {
  Words x = counter;
  std::uint32_t k0 = key[0], k1 = key[1];
  for (int round = 0; round < rounds; ++round, k0 += 0x9E3779B9U, k1 += 0xBB67AE85U) {
    const std::uint64_t p0 = std::uint64_t{0xD2511F53U} * x[0], p1 = std::uint64_t{0xCD9E8D57U} * x[2];
    x = {static_cast<std::uint32_t>(p1 >> 32) ^ x[1] ^ k0, static_cast<std::uint32_t>(p1),
         static_cast<std::uint32_t>(p0 >> 32) ^ x[3] ^ k1, static_cast<std::uint32_t>(p0)};
  }
  return x;
}

void draw_block(std::uint64_t seed, std::uint64_t first, std::span<const Spread> spreads, Code code,
                std::span<DeviateBlock> deviates) {
  base::check(deviates.size() >= spreads.size(), "a block for every variable");
  lanes(code).draw(seed, first, spreads, deviates.data());
}

}  // namespace halfround::study
