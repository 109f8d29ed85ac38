"""frame3d"""
