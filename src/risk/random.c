/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers from a seed and a counter: the finalizer of splitmix64 over both. */
#include "mouldwright/risk_sample.h"

#define GOLDEN 0x9e3779b97f4a7c15u

static uint64_t mix(uint64_t z)
{
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

uint64_t mw_risk_random(uint64_t seed, uint64_t counter)
{
    return mix(mix(seed + GOLDEN) + (counter + 1) * GOLDEN);
}
