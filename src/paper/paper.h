/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of documents share. */
#ifndef MW_PAPER_PAPER_H
#define MW_PAPER_PAPER_H

#include "mouldwright/paper.h"

/* Adds a shape to an item that is not the newest. */
void mw_paper_shape_into(mw_paper *paper, mw_paper_item *to, const mw_paper_shape *shape);
/* Adds a shape as an element of SVG; `top` is where its row begins. */
void mw_paper_shape_svg(const mw_paper_shape *of, double top, mw_text *out);

#endif
