/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stiffness of lay-ups by laminate theory: what a stack of plies does under load and heat.
 * The figures compare lay-ups; they approve nothing.
 *
 * Holds for thin, perfectly bonded, linear elastic plies in plane stress (Kaw, Mechanics of
 * Composite Materials, 2nd ed. 2006, chapter 4). The first ply lies at the most negative z, as
 * there: in a mould it is the one behind the coat. Axis 1 of a ply runs along its fibres, or along
 * the warp of a cloth; an angle is counted from x to it. Shear strain is the engineering one. */
#ifndef MOULDWRIGHT_TRADE_STIFFNESS_H
#define MOULDWRIGHT_TRADE_STIFFNESS_H

#include "mouldwright/trade.h"

#include <stdbool.h>
#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Layers of all blocks of a stack together. */
#define MW_LAYERS_MOST 10000

/* Places in the six entries of a symmetric matrix of three rows: 11 12 16 22 26 66. */
typedef enum mw_entry {
    MW_ENTRY_11,
    MW_ENTRY_12,
    MW_ENTRY_16,
    MW_ENTRY_22,
    MW_ENTRY_26,
    MW_ENTRY_66,
    MW_ENTRY_COUNT
} mw_entry;

/* Elastic data of a ply in its own axes. */
typedef struct mw_ply_elastic {
    double e1_pa, e2_pa, g12_pa; /* above 0 */
    double nu12;                 /* nu12^2 below e1 / e2 */
    double growth1_per_k, growth2_per_k;
} mw_ply_elastic;

/* Layers that are alike, one on the other. */
typedef struct mw_ply {
    mw_ply_elastic elastic;
    double thickness_m; /* of one layer; above 0 */
    double angle_rad;   /* of the first layer; any */
    double turn_rad;    /* each further one is turned on by this much */
    double count;       /* whole, 0 or more */
} mw_ply;

/* What a stack is to laminate theory. */
typedef struct mw_laminate {
    double thickness_m;
    double a_n_per_m[MW_ENTRY_COUNT];
    double b_n[MW_ENTRY_COUNT];
    double d_n_m[MW_ENTRY_COUNT];
    double force_n_per_m_k[3]; /* thermal forces x, y, xy for 1 K */
    double moment_n_per_k[3];  /* thermal moments */
} mw_laminate;

/* The inverse: strains and curvatures from loads. */
typedef struct mw_flexibility {
    double a_m_per_n[3][3]; /* strain from force */
    double b_per_n[3][3];   /* strain from moment; curvature from force by its columns */
    double d_per_n_m[3][3]; /* curvature from moment */
    double bending_n_m[MW_ENTRY_COUNT]; /* see mw_trade_laminate_invert() */
} mw_flexibility;

/* Engineering constants of a stack, along x and y. */
typedef struct mw_moduli {
    double ex_pa, ey_pa, gxy_pa;
    double nuxy;
} mw_moduli;

/* Loads on a unit of width: forces N/m and moments N, in x, y and xy. */
typedef struct mw_edge_load {
    double force_n_per_m[3];
    double moment_n[3];
} mw_edge_load;

/* Strains of the middle plane and curvatures 1/m, in x, y and xy. */
typedef struct mw_response {
    double strain[3];
    double curvature_per_m[3];
} mw_response;

/* Computes the reduced stiffness of a ply in Pa, turned by `angle_rad`; 0: in its own axes.
 * MW_TRADE_NO_SENSE: data that no ply can have.
 * Source: Kaw, Mechanics of Composite Materials, 2nd ed. 2006, sections 2.4 and 2.6 (in the form of
 * Tsai and Hahn, Introduction to Composite Materials, 1980, by invariants). */
mw_trade_status mw_trade_ply_stiffness(const mw_ply_elastic *ply, double angle_rad,
                                       double q_pa[MW_ENTRY_COUNT]) MW_MUST_USE;

/* Computes the invariants U1 to U5 of a ply in Pa, that turning leaves alone.
 * Source: Tsai and Hahn, Introduction to Composite Materials, 1980, chapter 3. */
mw_trade_status mw_trade_ply_invariants(const mw_ply_elastic *ply, double u_pa[5]) MW_MUST_USE;

/* Computes A, B, D and what heat does from `count` blocks of plies, the first at the most negative
 * z. MW_TRADE_NO_SENSE: a ply that cannot be, or no layer at all; MW_TRADE_OUT_OF_RANGE: more than
 * MW_LAYERS_MOST layers. Source: Kaw 2006, sections 4.3 and 4.5. */
mw_trade_status mw_trade_laminate(const mw_ply *plies, size_t count,
                                  mw_laminate *laminate) MW_MUST_USE;

/* Inverts A, B, D. `bending_n_m` is D - B A^-1 B: the bending stiffness that is left when the stack
 * may stretch as it bends; for a symmetric stack it is D. MW_TRADE_NO_SENSE: singular.
 * Source: Kaw 2006, section 4.3; the reduced bending stiffness: Ashton, J. Composite Materials 3
 * (1969) 189-191. */
mw_trade_status mw_trade_laminate_invert(const mw_laminate *laminate,
                                         mw_flexibility *flexibility) MW_MUST_USE;

/* Computes the moduli of a stack that is pulled, and of one that is bent: those of the uniform
 * plate of its thickness that gives as much. Of an unsymmetric stack, free to do as it likes.
 * Source: Kaw 2006, section 4.4 (symmetric stacks). */
void mw_trade_laminate_moduli(const mw_flexibility *flexibility, double thickness_m,
                              mw_moduli *pulled, mw_moduli *bent);

/* Computes strains and curvatures under a load, by a rise of temperature as well.
 * Source: Kaw 2006, sections 4.3 and 4.5. */
void mw_trade_laminate_respond(const mw_laminate *laminate, const mw_flexibility *flexibility,
                               const mw_edge_load *load, double rise_k, mw_response *response);

/* Whether the stack does not bend when it is pulled or warmed: |B| and the thermal moments are below
 * a millionth of what they could be. */
bool mw_trade_laminate_is_symmetric(const mw_laminate *laminate);

/* Whether the stack does not shear when it is pulled along x or y: A16 and A26 are below a millionth
 * of A11 + A22. */
bool mw_trade_laminate_is_balanced(const mw_laminate *laminate);

#ifdef __cplusplus
}
#endif

#endif
