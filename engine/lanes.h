#pragma once
// SIXTYFOLD_LANES before a function compiles it twice where the compiler can choose at run time:
// for the plain baseline and with wider vector lanes. Contraction is off, so both give the same
// bits.

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && \
    !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
#define SIXTYFOLD_LANES __attribute__((target_clones("avx2", "default")))
#else
#define SIXTYFOLD_LANES
#endif
