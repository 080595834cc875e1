/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sampling: which shares the inputs of a sample get. A pure function of seed, input and number of the sample, so that
 * any number of threads may work on it and a single sample can be looked at again.
 *
 * Samples are the points of the Sobol sequence, randomized by linear matrix scrambling and a digital shift. Inputs
 * beyond the table of the sequence use it again with the points in another random order: each input by itself stays
 * spread evenly.
 * Sources: Sobol, USSR Comp. Math. and Math. Phys. 7(4), 1967; Joe and Kuo, SIAM J. Sci. Comput. 30, 2008 (direction
 * numbers); Matousek, J. Complexity 14, 1998, and Owen, Variance with alternative scramblings of digital nets, ACM
 * TOMACS 13(4), 2003 (scrambling, shift); Owen, Latin supercube sampling, ACM TOMACS 8(1), 1998 (padding). */
#ifndef MOULDWRIGHT_RISK_SAMPLE_H
#define MOULDWRIGHT_RISK_SAMPLE_H

#include "mouldwright/risk.h"

#ifdef __cplusplus
extern "C" {
#endif

#define MW_RISK_TILE   64 /* samples made at a time */
#define MW_RISK_TABLED 40 /* inputs before the table is used again */

typedef struct mw_risk_sampler mw_risk_sampler;

/* Returns a sampler for so many inputs, or NULL when there is no memory. `plain`: the sequence as it is published,
 * without randomizing, its first point 0. */
mw_risk_sampler *mw_risk_sampler_new(uint32_t inputs, uint64_t seed) MW_MUST_USE;
mw_risk_sampler *mw_risk_sampler_plain(uint32_t inputs) MW_MUST_USE;
void mw_risk_sampler_free(mw_risk_sampler *sampler);

/* Writes the shares that one input has in the samples of a tile: samples MW_RISK_TILE * tile and on. Tiles below 2^26. All
 * shares are over 0 and below 1 unless the sampler is plain. */
void mw_risk_shares(const mw_risk_sampler *sampler, uint32_t input, uint64_t tile, double *shares);

/* That two inputs go together: the rank correlation (Spearman) that their shares shall have, over -1 and below 1. */
typedef struct mw_risk_bond {
    uint32_t a, b;
    double correlation;
} mw_risk_bond;

typedef struct mw_risk_bonds mw_risk_bonds;

/* Makes bonds between `inputs` inputs. MW_FAILED: they contradict each other (the matrix is not positive definite), and
 * nothing is made. Source: Nelsen, An introduction to copulas, 2006, section 5.1 (normal copula, rank correlation). */
mw_status mw_risk_bonds_new(uint32_t inputs, const mw_risk_bond *list, uint32_t count,
                            mw_risk_bonds **out) MW_MUST_USE;
void mw_risk_bonds_free(mw_risk_bonds *bonds);

/* Ties the shares of one sample, one an input, in place. Inputs without a bond keep theirs to the last bit. */
void mw_risk_bond_shares(const mw_risk_bonds *bonds, double *shares);

/* A number that hangs on the seed and a counter only. Source: Steele, Lea and Flood, OOPSLA 2014. */
uint64_t mw_risk_random(uint64_t seed, uint64_t counter);

#ifdef __cplusplus
}
#endif

#endif
