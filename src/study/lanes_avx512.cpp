// The inner loops for processors with AVX-512; run only where can_run() says so.
#include "study/lanes.h"

#if defined(__x86_64__)
#include <immintrin.h>
#define LANES_SQRT(v) ((D)_mm512_sqrt_pd((__m512d)(v)))
#define LANES_SQRTF(v) ((F)_mm512_sqrt_ps((__m512)(v)))
#define LANES_MUL32(a, b) ((U64)_mm512_mul_epu32((__m512i)(a), (__m512i)(b)))

#pragma GCC diagnostic ignored "-Wpsabi"
#pragma GCC diagnostic ignored "-Wuninitialized"  // ghosts inside g++ 12's own intrinsics
#if !defined(__clang__)
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#endif
#if defined(__clang__)
#pragma STDC FP_CONTRACT OFF
#pragma clang attribute push(__attribute__((target("avx512f"))), apply_to = function)
#else
#pragma GCC optimize("fp-contract=off")
#pragma GCC target("avx512f")
#endif
#define LANES_NAME kAvx512Lanes
#define LANES_BYTES 64
#define LANES_EVEN 0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30
#include "study/lanes.inc"
#if defined(__clang__)
#pragma clang attribute pop
#endif
#else
namespace halfround::study {
const Lanes kAvx512Lanes = {};
}
#endif
