"""What a template writes for a value: escaped as `markupsafe.escape` does it, and quicker, for nearly no text needs it."""

import re
from typing import Any

from jinja2.compiler import CodeGenerator, Frame
from jinja2.nodes import EvalContext, Expr
from markupsafe import Markup, escape

_needs_it = re.compile("[&<>\"']").search


def escaped(value: Any) -> str:
    """A value as text in markup; finished markup stays as it is.

    >>> escaped("Q<Q_max"), escaped(Markup("<b>")), escaped(3), escaped("LSHH-210")
    (Markup('Q&lt;Q_max'), Markup('<b>'), Markup('3'), 'LSHH-210')
    """
    kind = type(value)
    if kind is Markup or (kind is str and not _needs_it(value)):
        text: str = value
        return text
    return escape(value)


class QuickWriter(CodeGenerator):
    """Compiles templates that call `escaped`, which their environment carries, wherever they would call `escape`."""

    def _output_child_pre(self, node: Expr, frame: Frame, finalize: CodeGenerator._FinalizeInfo) -> None:
        context: EvalContext = frame.eval_ctx
        if context.volatile or not context.autoescape or finalize.src is not None:
            super()._output_child_pre(node, frame, finalize)
        else:
            self.write("environment.escaped(")
