"""A bare PySide6 window with an empty drawing in it, gone at once after its first paint."""

import os
import sys

from PySide6.QtWidgets import QApplication, QGraphicsScene, QGraphicsView, QMainWindow

application = QApplication(sys.argv)
window = QMainWindow()
scene = QGraphicsScene()
window.setCentralWidget(QGraphicsView(scene))
window.resize(1280, 800)
window.show()
application.processEvents()
os._exit(0)
