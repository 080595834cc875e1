/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Progress is told to whoever listens. */
#include "mouldwright/progress.h"

#include <stddef.h>

bool mw_progress_tell(const mw_progress *progress, double share)
{
    return progress == NULL || progress->tell == NULL || progress->tell(progress->context, share);
}
