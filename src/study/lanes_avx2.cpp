// The inner loops for processors with AVX2; run only where can_run() says so.
#include "study/lanes.h"

#if defined(__x86_64__)
#include <immintrin.h>
#define LANES_SQRT(v) ((D)_mm256_sqrt_pd((__m256d)(v)))
#define LANES_SQRTF(v) ((F)_mm256_sqrt_ps((__m256)(v)))
#define LANES_MUL32(a, b) ((U64)_mm256_mul_epu32((__m256i)(a), (__m256i)(b)))

#pragma GCC diagnostic ignored "-Wpsabi"
#if defined(__clang__)
#pragma STDC FP_CONTRACT OFF
#pragma clang attribute push(__attribute__((target("avx2"))), apply_to = function)
#else
#pragma GCC optimize("fp-contract=off")
#pragma GCC target("avx2")
#endif
#define LANES_NAME kAvx2Lanes
#define LANES_BYTES 32
#define LANES_EVEN 0, 2, 4, 6, 8, 10, 12, 14
#include "study/lanes.inc"
#if defined(__clang__)
#pragma clang attribute pop
#endif
#else
namespace halfround::study {
const Lanes kAvx2Lanes = {};
}
#endif
