// Door of artwork/: drawings, colours, threads, visible regions.
#pragma once

#include "artwork/colour.h"
#include "artwork/drawing.h"
#include "artwork/lettering.h"
#include "artwork/regions.h"
#include "artwork/seam_spacing.h"
#include "artwork/thread_list.h"
