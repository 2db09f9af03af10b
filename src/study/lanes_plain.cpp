// The inner loops with what every processor of the kind has (two doubles at a time on x86-64).
#include <cmath>

#include "study/lanes.h"

#if defined(__SSE2__)
#include <emmintrin.h>
#define LANES_SQRT(v) ((D)_mm_sqrt_pd((__m128d)(v)))
#define LANES_SQRTF(v) ((F)_mm_sqrt_ps((__m128)(v)))
#define LANES_MUL32(a, b) ((U64)_mm_mul_epu32((__m128i)(a), (__m128i)(b)))
#else
#define LANES_SQRT(v) (root<D, double>(v))
#define LANES_SQRTF(v) (root<F, float>(v))
#define LANES_MUL32(a, b) (((a)&0xffffffffULL) * ((b)&0xffffffffULL))
namespace {
template <class V, class T>
inline V root(V v) {
  for (unsigned i = 0; i < sizeof(V) / sizeof(T); ++i) v[i] = std::sqrt(v[i]);
  return v;
}
}  // namespace
#endif

#pragma GCC diagnostic ignored "-Wpsabi"
#define LANES_NAME kPlainLanes
#define LANES_BYTES 16
#define LANES_EVEN 0, 2, 4, 6
#include "study/lanes.inc"
